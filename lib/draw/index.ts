export { brokenRules, positionsKept, unitsCollide, type RuledUnit } from './brokenRules.js';
export { checkRules } from './checkRules.js';
export { distributionQuantile, type QuantileFunction } from './distributionQuantile.js';
export { enumerateSourceArrangements } from './enumerateSourceArrangements.js';
export { ImpossibleRules, PlacementNotFound } from './errors.js';
export { randomStream, type RandomStream, type StreamPurpose } from './randomStream.js';
export { RecordedStream } from './recordedStream.js';
export { ruleInWords } from './ruleWords.js';
export { NOMINAL_BUILD, type Build, type PlacedUnit, type Scenario, type UnitKind } from './scenario.js';
export { scenarioSource, type DrawnScenario, type ScenarioSource, type ScenarioStreams } from './scenarioSource.js';
export {
  compileSourceArrangements,
  countSourceArrangements,
  drawSourceArrangement,
  type SourceArrangements,
  type StandingSource,
} from './sourceArrangements.js';
