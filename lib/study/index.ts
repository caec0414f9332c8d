export { makeResultFolder, removeLeftovers, writeFileWhole } from './atomicFile.js';
export { OPERATING_STATE_RULES, POLE_NAMES } from './scenarioTable.js';
export * from './copper/index.js';
export { Checkpoint } from './checkpoint.js';
export { FolderInUse, lockFolder } from './folderLock.js';
export { studyFingerprint } from './fingerprint.js';
export {
  mergeParts, type PartOf, partFileName, PartsError, partSpan, requireSplittable, writePart,
} from './parts.js';
export { PLACEMENT_CLASSES, type PlacementClass } from './placementClass.js';
export { placementPicture } from './placementPicture.js';
export { type RareOptions, type RarePower, rarePower, TooRare } from './rarePower.js';
export { type Replay, replayPlacement, replayScenario, type ReplayTools, replayTools } from './replay.js';
export { RatingThreads, WorkerLost } from './ratingThreads.js';
export { type Look, type RunOptions, runStudy, type StudyRun, StudyStopped } from './runStudy.js';
export { type ScenarioColumns, scenarioColumns } from './scenarioColumns.js';
export { scenarioCsv } from './scenarioCsv.js';
export { readScenarioParquet, writeScenarioParquet } from './scenarioParquet.js';
export { SCENARIO_FIELDS, type ScenarioField } from './scenarioFields.js';
export { BYTES_PER_SCENARIO, COLUMN_NAMES, type ColumnName, ScenarioTable } from './scenarioTable.js';
export { scenarioOfRecord, type ScenarioRecord, scenarioRecord, type UnitRecord } from './scenarioRecord.js';
export {
  type FactorSensitivity, NothingVaries, type QuantityCorrelation, SENSITIVITY_FORMAT, type Sensitivity, sensitivity,
  type SensitivityContext, type SensitivityDocument, sensitivityDocument, type SensitivityOptions, type ShiftUnit,
  type ToleranceEffect, type ToleranceName,
} from './sensitivity/index.js';
export { type PowersInOrder, powersInOrder } from './powersInOrder.js';
export { sortedRatedPowers } from './sortedRatedPowers.js';
export { type TableFiles, writeScenarioTablesAside } from './tablesAside.js';
export {
  requireRated, type ClassRow, NothingRated, type NotRated, TooManyNotRated, type PercentileRow, type PlacedUnitSummary, type ScenarioSummary, type ShareSummaryRow,
  summarise, type Summary, SUMMARY_FORMAT, type ToleranceRow,
} from './summary.js';
export { type Timing, timing } from './timing.js';
export { LIBRARY_VERSION } from './version.js';
