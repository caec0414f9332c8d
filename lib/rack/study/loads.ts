import type { LoadsFile } from '../schema/drawSchema.js';
import type { LoadsDraw } from '../studyModel.js';
import type { ProblemLog } from '../text/problemLog.js';
import { fromKw, fromPercent } from '../text/units.js';
import { findLoad } from './catalogueIds.js';
import type { StudyInputs } from './inputs.js';
import { logPlaces, logTooTall, type FixedPlace } from './places.js';

/** The loads of a study. */
export interface ReadLoads {
  /** Null where a problem was logged or an input is missing. */
  readonly draw: LoadsDraw | null;
  /** Units whose place the file gives. */
  readonly fixed: readonly FixedPlace[];
  /** Height of the one type of load that `even`, `random-split` and `all-or-nothing` place; null for other draws. */
  readonly heightSlots: number | null;
}

function toModel(file: LoadsFile, inputs: StudyInputs): LoadsDraw | null {
  switch (file.draw) {
    case 'fixed':
      return {
        draw: 'fixed',
        units: file.units.map(({ id, bottomSlot, powerKw }) => ({ id, bottomSlot, power: fromKw(powerKw) })),
      };
    case 'even':
      return { draw: 'even', id: file.id, count: file.count, totalPower: fromKw(file.totalPowerKw) };
    case 'random-split':
      return {
        draw: 'random-split',
        id: file.id,
        count: file.count,
        totalPower: fromKw(file.totalPowerKw),
        concentration: file.concentration,
      };
    case 'catalogue':
      return { draw: 'catalogue', totalPower: fromKw(file.totalPowerKw), fill: file.fill };
    case 'all-or-nothing':
      return {
        draw: 'all-or-nothing',
        id: file.id,
        cap: fromKw(file.capKw),
        chanceFull: fromPercent(file.chanceFullPercent),
      };
    case 'inventory': {
      const racks = inputs.inventory(file.file)?.racks;
      return racks === undefined ? null : { draw: 'inventory', racks, places: file.places };
    }
  }
}

/** The loads as drawn; problems go to the log. */
export function readLoads(file: LoadsFile, inputs: StudyInputs, log: ProblemLog): ReadLoads {
  const { catalogue, rack } = inputs;
  if ('count' in file && file.count.min > file.count.max) {
    log.add('loads.count.max', String(file.count.max), `give at least "min" (${file.count.min})`);
  }
  const heightOf = (id: string, path: string): number | null => {
    const type = catalogue === null ? null : findLoad(id, path, catalogue, log);
    return type !== null && (rack === null || logTooTall(type, path, rack.slotCount, log)) ? type.heightSlots : null;
  };
  if (file.draw === 'catalogue' && catalogue !== null && rack !== null) {
    for (const type of catalogue.loads) {
      logTooTall(type, 'loads', rack.slotCount, log);
    }
  }
  const fixed: FixedPlace[] = file.draw !== 'fixed' ? [] : file.units.flatMap(({ id, bottomSlot }, index) => {
    const path = `loads.units[${index}]`;
    const heightSlots = heightOf(id, `${path}.id`);
    return heightSlots === null ? [] : [{ id, bottomSlot, heightSlots, path }];
  });
  if (rack !== null) {
    logPlaces(fixed, rack.slotCount, log);
  }
  return { draw: toModel(file, inputs), fixed, heightSlots: 'id' in file ? heightOf(file.id, 'loads.id') : null };
}
