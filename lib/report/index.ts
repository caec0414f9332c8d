export { CHROMIUM_VARIABLE, chromiumPath, NoBrowser } from './chromium.js';
export type { ExplainedPlacement } from './explainedPlacement.js';
export { FigurePictures } from './figurePictures.js';
export { type ReportInput, ReportInputError, type ReportLabel, sortedRatedKw } from './input.js';
export { labelPage, type LabelPageInput } from './labelPage.js';
export { type PrintedPage, printPage } from './printPage.js';
export { reportHtml } from './reportHtml.js';
export { explainFound, explainLowest, reportInput, type ReportParts } from './reportInput.js';
export { PICTURE_FOLDER, reportMarkdown } from './reportMarkdown.js';
