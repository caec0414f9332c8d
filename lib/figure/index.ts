export { bindingFigure } from './bindingFigure.js';
export { type BindingPlace, bindingWords, sentenceCase } from './bindingWords.js';
export { classFigure } from './classFigure.js';
export { contactFigure } from './contactFigure.js';
export { convergenceFigure } from './convergenceFigure.js';
export { currentFigure } from './currentFigure.js';
export { type Curve, type CurveAxis, curvesFigure, type CurvesInput } from './curvesFigure.js';
export { distributionFigure } from './distributionFigure.js';
export { escapeMarkup } from './escapeMarkup.js';
export { type Figure, type Layout, type Trace, withoutTitle } from './figure.js';
export {
  countOf, formatCount, formatLevel, formatNumber, formatShare, kilowattDecimals,
} from './numberFormat.js';
export { FONT_FAMILY, heatColour, PALETTE } from './palette.js';
export { intervalWords, leadingPercentile, percentileWords, spreadChoice } from './percentileWords.js';
export { ELEVATION_WIDTH, elevationWords, rackElevation } from './rackElevation.js';
export { slotHeatFigure } from './slotHeatFigure.js';
export { temperatureFigure } from './temperatureFigure.js';
export { isCarried, temperatureHistoryFigure } from './temperatureHistoryFigure.js';
export { labelRiskFigure } from './labelRiskFigure.js';
export { type NamedRuleRow, rulesFigure } from './rulesFigure.js';
export { paretoFigure } from './paretoFigure.js';
export { sensitivityFigure, type SensitivityOutput } from './sensitivityFigure.js';
export { tightenWords } from './tightenWords.js';
