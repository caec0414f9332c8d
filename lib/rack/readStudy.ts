import { logImplausible } from './plausible.js';
import { hasFormat, logPrototypeKeys, parseParts } from './schema/parsedParts.js';
import { type UncertainFile, uncertainSchema } from './schema/distributionSchema.js';
import { STUDY_FORMAT, type StudyFile, studyInCodeSchema, studySchema } from './schema/studySchema.js';
import { readCandidateRules } from './study/candidateRules.js';
import { logContactHeights } from './study/contacts.js';
import { logDesign, readPercentiles, readSampling, readStopping } from './study/design.js';
import { logFit, sourceSlots } from './study/fit.js';
import type { StudyInputs } from './study/inputs.js';
import { readLoads } from './study/loads.js';
import { logObservedRacks } from './study/observedRacks.js';
import { logOperatingStates } from './study/operatingStates.js';
import { readRules } from './study/rules.js';
import { readSources } from './study/sources.js';
import { readCorrelations, readUncertain } from './study/uncertain.js';
import type { Study } from './studyModel.js';
import { ProblemLog } from './text/problemLog.js';

/** A study file after its schema: what of it is well formed, key by key. */
export interface StudyParts {
  readonly parts: Partial<StudyFile>;
  /** The well-formed entries of "uncertain", and whether that is all of them. */
  readonly uncertain: Partial<UncertainFile>;
  readonly uncertainComplete: boolean;
}

/** The first half of reading a study; null where it is none at all. `inCode`: rack and catalogue are objects. */
export function readStudyParts(json: unknown, inCode: boolean, log: ProblemLog): StudyParts | null {
  if (!hasFormat(json, STUDY_FORMAT, 'study', log)) {
    return null;
  }
  logPrototypeKeys(json, '', log);
  const { parts, failed } = parseParts(inCode ? studyInCodeSchema : studySchema, json, log);
  const complete = !failed.has('uncertain');
  // One bad distribution should not hide what is wrong with the others; the first pass has logged it already.
  const uncertain = complete ? parts.uncertain ?? {}
    : parseParts(uncertainSchema, json, new ProblemLog(''), ['uncertain']).parts;
  const studyParts = { parts: parts as Partial<StudyFile>, uncertain, uncertainComplete: complete };
  logImplausible(json, log, csvReferences(studyParts).map(({ path }) => path));
  return studyParts;
}

/** A CSV file a study refers to, and where. */
export interface CsvReference {
  /** Path of the key in the study file. */
  readonly path: string;
  readonly file: string;
  /** The column of measurements; null for an inventory. */
  readonly column: string | null;
  /** Key whose unit the numbers carry: of the distribution, or of the inventory's powers. */
  readonly quantity: string;
}

/** The CSV files a study refers to. */
export function csvReferences({ parts, uncertain }: StudyParts): CsvReference[] {
  const inventory = parts.loads?.draw === 'inventory'
    ? [{ path: 'loads.file', file: parts.loads.file, column: null, quantity: 'powerKw' }] : [];
  const measurements = Object.entries(uncertain).flatMap(([key, distribution]) => (
    distribution?.distribution === 'measured'
      ? [{ path: `uncertain.${key}.file`, file: distribution.file, column: distribution.column, quantity: key }] : []
  ));
  return [...inventory, ...measurements];
}

/** The second half: everything that takes more than one key, or the inputs, to see. Null where a problem was logged. */
export function readStudy(studyParts: StudyParts, inputs: StudyInputs, log: ProblemLog): Study | null {
  const { parts, uncertain, uncertainComplete } = studyParts;
  const { rack, catalogue } = inputs;
  const sources = parts.sources && readSources(parts.sources, inputs, log);
  const loads = parts.loads && readLoads(parts.loads, inputs, log);
  if (sources?.types && rack !== null && catalogue !== null) {
    logOperatingStates(rack, catalogue, sources.types, log);
    if (loads !== undefined) {
      logFit(sources, loads, catalogue, rack.slotCount, log);
    }
  }
  if (rack !== null && catalogue !== null) logContactHeights(catalogue, rack, log);
  const inventory = parts.loads?.draw === 'inventory' ? inputs.inventory(parts.loads.file) : null;
  if (inventory !== null) {
    const taken = sources?.types ? sourceSlots(sources) : null;
    logObservedRacks(inventory.racks, catalogue, rack?.slotCount ?? null, taken, inventory.log);
  }
  const rules = readRules(parts.rules ?? [], inputs, log);
  const candidateRules = readCandidateRules(parts.candidateRules ?? [], inputs, log);
  const quantities = readUncertain(uncertain, inputs, log);
  const correlations = readCorrelations(parts.correlations ?? [], uncertainComplete ? uncertain : null, log);
  const percentiles = readPercentiles(parts.percentilesPercent ?? [], log);
  logDesign(parts, log);
  if (!log.isEmpty || (inventory !== null && !inventory.log.isEmpty) || rack === null || catalogue === null) {
    return null;
  }
  const file = parts as StudyFile;
  const loadsDraw = loads?.draw;
  if (sources === undefined || loadsDraw === undefined || loadsDraw === null) {
    return null;
  }
  return {
    name: file.name,
    rack,
    catalogue,
    seed: String(file.seed),
    scenarios: file.scenarios,
    sources: sources.draw,
    loads: loadsDraw,
    rules,
    candidateRules,
    uncertain: quantities,
    correlations,
    sampling: readSampling(file.sampling),
    percentiles,
    percentileDefinition: file.percentileDefinition,
    confidence: file.confidencePercent / 100,
    mostNotRated: file.mostNotRatedPercent / 100,
    stopping: readStopping(file.stop),
  };
}
