export type { Floor, WorstFound } from './answers.js';
export { allowedPlacement, type AllowedPlacement } from './allowedPlacement.js';
export { enumeratedFloor } from './enumeratedFloor.js';
export { countPlacements, enumeratePlacements, type EnumerateOptions } from './enumeratePlacements.js';
export { bestRelief, explainWorst, type Relief } from './explain.js';
export { type FloorOptions, proveFloor } from './floor.js';
export { feedEnd, heatByCurrentAlone, provenOrder, worstOrder } from './provenOrder.js';
export {
  answerRules, type MildestOptions, type MildestRules, mildestRules, type RuleAnswer, withRules,
} from './ruleAnswers.js';
export { type SearchOptions, searchWorst } from './search.js';
export { type Range, type ToleranceRanges, toleranceRanges } from './toleranceRanges.js';
export { type WorstAnswer, worstAnswer, type WorstOptions } from './worstAnswer.js';
