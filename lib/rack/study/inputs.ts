import type { Catalogue, Rack } from '../model.js';
import type { ObservedRack } from '../studyModel.js';
import type { ProblemLog } from '../text/problemLog.js';

/**
 * What a study refers to. Null: that input is missing or has problems of its own, which are logged already; checks
 * that need it are skipped.
 */
export interface StudyInputs {
  readonly rack: Rack | null;
  readonly catalogue: Catalogue | null;
  /** The inventory a study names, with the log of its file. */
  inventory(file: string): { readonly racks: readonly ObservedRack[]; readonly log: ProblemLog } | null;
  /** One column of measurements, in the unit of the column's name. */
  measurements(file: string, column: string): readonly number[] | null;
}
