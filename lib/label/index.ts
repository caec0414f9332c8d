export { candidateLabels, type CandidateBasis, MOST_CANDIDATES } from './candidateLabels.js';
export { decideLabel, type DecideOptions, type LabelDecision } from './decideLabel.js';
export { type LabelContext, type LabelDocument, labelDocument } from './labelDocument.js';
export { basisWords, type LabelBasis } from './labelBasis.js';
export { LABEL_FORMAT, type LabelJson, labelJson, type LabelJsonInput } from './labelJson.js';
export { type LabelRisk, labelRisks } from './labelRisk.js';
export { type LabelSample, labelSample } from './labelSample.js';
export { labelSampleCsv, SAMPLE_COLUMNS, sampleOfRows } from './labelSampleCsv.js';
export { DEFAULT_LABEL_STEP, type LabelInput, type LabelRow, type LabelTable, labelTable } from './labelTable.js';
export type { LabelVerdict } from './labelVerdict.js';
export {
  excessFinder, type ExcessFinder, excessWords, type LabelExcess, type LimitExcess, limitExcess,
} from './limitExcess.js';
export { type LabelRecommendation, recommendLabel } from './recommendLabel.js';
export { roundDown } from './roundDown.js';
export { type RuleCase, type RulePercentile, type RuleRow, ruleTable } from './ruleTable.js';
export { type StrandedInput, type StrandedPower, strandedPower, type StrandedRow } from './strandedPower.js';
export { LABEL_CAUTION, PERCENTILE_CAUTION } from './words.js';
export type { WorstMet } from './worstMet.js';
