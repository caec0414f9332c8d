export { type Alike, CONDITION_BOUND, CORRELATION_BOUND } from './alike.js';
export { fitHeatRun } from './calibrate.js';
export type { FitOptions, FittedQuantity, HeatRunFit } from './fitModel.js';
export {
  CALIBRATED_NAMES,
  type CalibratedFiles,
  calibratedFiles,
  type FilesBefore,
  type JsonObject,
} from './calibratedFiles.js';
export { rankOfPearson } from './calibratedUncertain.js';
export { FIT_CAUTION, fitWarnings, suspicionWords } from './cautions.js';
export { CalibrationError } from './errors.js';
export { FIT_FORMAT, type FitContext, type FitDocument, fitDocument } from './fitDocument.js';
export { type ExpectedReadings, HeatRunModel, type FitValues } from './heatRunModel.js';
export { FIT_QUANTITIES, type FitQuantity, QUANTITY_TRAITS, type QuantityTraits } from './quantities.js';
export type { ReadingFit } from './readings.js';
export { STEADY_DRIFT, type Steadiness, type UnsteadyReading } from './steadiness.js';
export { type ExchangedPair, FALSE_ALARM } from './suspicions.js';
