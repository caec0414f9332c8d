export { type BarMass, barMass, barPrice } from './barMass.js';
export { type CopperDesign, copperDesigns, type CopperDesigns } from './copperDesigns.js';
export { type CopperAnswer, type CopperOptions, copperStudy, type DesignAnswer, type ProvenFloor } from './copperStudy.js';
export {
  COPPER_RESULT_FORMAT, type CopperContext, type CopperDocument, copperDocument, type CopperRow,
} from './copperDocument.js';
export { copperNotes, copperWarnings, leastWords, tippingWords } from './copperWords.js';
export { leastAngle, type LeastAngle } from './leastAngle.js';
export { type LeastAnswer, type LeastCopper, leastCopper, type LeastOptions, type LeastTrial } from './leastCopper.js';
export { type CostAndWorth, paretoFront } from './paretoFront.js';
export type { RatedPercentile } from './percentileOf.js';
export { ScenarioSet } from './scenarioSet.js';
export {
  type CentreOfMass, centreOfMass, RackBalance, TIPPING_SIDES, type TippingAngle, tippingAngle, type TippingSide,
} from './tipping.js';
export { type VarianceOptions, type VarianceReduction, varianceReduction } from './varianceReduction.js';
