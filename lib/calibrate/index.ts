export { type Alike, CONDITION_BOUND, CORRELATION_BOUND } from './alike.js';
export { type FitOptions, type FittedQuantity, fitHeatRun, type HeatRunFit } from './calibrate.js';
export { type Expected, HeatRunModel, type Values } from './heatRunModel.js';
export { CalibrationError } from './errors.js';
export { FIT_QUANTITIES, type FitQuantity, QUANTITY_TRAITS, type QuantityTraits } from './quantities.js';
export type { ReadingFit } from './readings.js';
export { STEADY_DRIFT, type Steadiness, type UnsteadyReading } from './steadiness.js';
export { type ExchangedPair, FALSE_ALARM } from './suspicions.js';
