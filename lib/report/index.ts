export { type ReportInput, ReportInputError } from './input.js';
export { reportHtml } from './reportHtml.js';
