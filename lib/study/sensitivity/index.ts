export { NothingVaries, sensitivity, type SensitivityOptions } from './sensitivity.js';
export {
  SENSITIVITY_FORMAT,
  type SensitivityContext,
  type SensitivityDocument,
  sensitivityDocument,
} from './sensitivityDocument.js';
export type { FactorSensitivity, QuantityCorrelation, Sensitivity, ToleranceEffect } from './sensitivityResult.js';
export type { ShiftUnit, ToleranceName } from './tolerances.js';
