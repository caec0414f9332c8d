export { type ReportInput, ReportInputError } from './input.js';
export { type ExplainedPlacement, labelPage, type LabelPageInput } from './labelPage.js';
export { reportHtml } from './reportHtml.js';
