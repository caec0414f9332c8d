import { ELEVATION_WIDTH, FONT_FAMILY, PALETTE } from '../figure/index.js';

/**
 * px, width of the text and of every figure: what an A4 or Letter page holds between its margins. Figures are drawn at
 * this width at most, so that paper never clips them.
 */
const MEASURE = 696;

/** Style of the report. Two upright lines, the poles of the bar, stand before each heading. */
export const STYLE = `
:root { color-scheme: light; }
* { box-sizing: border-box; }
body { margin: 0; background: ${PALETTE.paper}; color: ${PALETTE.ink}; font: 16px/1.55 ${FONT_FAMILY};
  text-wrap: pretty;  overflow-wrap: anywhere; -webkit-text-size-adjust: 100%; text-size-adjust: 100%; }
.page { max-width: ${MEASURE + 32}px; margin: 0 auto; padding: 20px 16px 64px; }
main { min-width: 0; }
header { border-bottom: 1px solid ${PALETTE.grid}; }
.kicker { margin: 0; color: ${PALETTE.return}; font-weight: 600; }
h1 { margin: 2px 0 10px; font-size: 1.9rem; line-height: 1.2; }
h2, h3 { line-height: 1.3; break-after: avoid; }
h2 { position: relative; margin: 44px 0 12px; padding-left: 20px; font-size: 1.35rem; }
h2::before { content: ''; position: absolute; left: 0; top: .15em; bottom: .15em; width: 4px;
  border-left: 4px solid ${PALETTE.supply}; border-right: 4px solid ${PALETTE.return}; }
h3 { margin: 28px 0 8px; font-size: 1.08rem; }
p, ul { margin: 0 0 12px; }
ul { padding-left: 22px; }
a { color: ${PALETTE.supply}; }
a:focus-visible, .scroll:focus-visible { outline: 3px solid ${PALETTE.return}; outline-offset: 2px; }
nav { display: none; font-size: .9rem; }
nav ol { margin: 6px 0 0; padding-left: 22px; }
nav li { margin: 2px 0; }
nav p { margin: 0; font-weight: 600; }
.lead { font-size: 1.4rem; line-height: 1.4; font-weight: 600; }
.answers { font-size: 1.05rem; }
.caution, .warning { border: 2px solid ${PALETTE.limit}; border-left-width: 10px; padding: 12px 16px;
  background: ${PALETTE.cautionGround}; }
.caution p:last-child, .warning p:last-child { margin-bottom: 0; }
.note, .notes { color: ${PALETTE.quiet}; font-size: .875rem; line-height: 1.5; }
.scroll { overflow-x: auto; margin: 0 0 14px; }
table { border-collapse: collapse; width: 100%; font-size: .875rem; line-height: 1.4; 
  font-variant-numeric: tabular-nums; overflow-wrap: normal; }
caption { text-align: left; font-weight: 600; padding: 0 0 4px; }
th, td { text-align: left; vertical-align: top; padding: 5px 12px 5px 0; border-bottom: 1px solid ${PALETTE.grid}; }
thead th { border-bottom: 2px solid ${PALETTE.ink}; vertical-align: bottom; }
tbody th { font-weight: 400; }
.short { white-space: nowrap; }
.name { min-width: 6.5em; }
.long { min-width: 11em; }
code { font: .92em/1.4 ui-monospace, monospace; }
td code { overflow-wrap: anywhere; }
.picture { white-space: pre; font-size: 11px; letter-spacing: 0; }
.command { display: block; padding: 8px 12px; border: 1px solid ${PALETTE.grid}; background: ${PALETTE.commandGround};
  overflow-x: auto; }
figure { margin: 18px 0; min-width: 0; }
figcaption { font-weight: 600; line-height: 1.35; margin-bottom: 4px; }
figure .note { margin: 4px 0 0; }
.chart { min-width: 0; }
.elevation { display: block; margin: 0 auto; }
@media (min-width: 660px) {
  .pair { display: grid; grid-template-columns: minmax(0, 1.25fr) minmax(0, 1fr); gap: 0 28px; align-items: start; }
  .pair > figure { margin-top: 0; }
  .placement { display: grid; grid-template-columns: ${ELEVATION_WIDTH}px minmax(0, 1.45fr) minmax(0, 1fr); gap: 0 10px;
    align-items: end; grid-template-rows: auto auto auto; }
  .placement figure { display: grid; grid-template-rows: subgrid; grid-row: 1 / span 3; margin: 6px 0 12px; }
  .placement figcaption { font-size: .875rem; align-self: end; }
  .placement .rack > svg { grid-row: 2; }
  .placement .chart { grid-row: 2; }
  .placement figure .note { grid-row: 3; align-self: start; }
}
@media (min-width: 1020px) {
  .page { display: grid; grid-template-columns: ${MEASURE}px 230px; gap: 48px; max-width: ${MEASURE + 310}px; }
  nav { display: block; grid-column: 2; grid-row: 1; position: sticky; top: 20px; align-self: start; margin: 0; }
  main { grid-column: 1; grid-row: 1; }
}
@page { margin: 12mm; }
@media print {
  body { font-size: 10.5pt; line-height: 1.45; print-color-adjust: exact; -webkit-print-color-adjust: exact; }
  .page { display: block; max-width: none; padding: 0; }
  nav { display: none; }
  h2 { margin-top: 26px; }
  figure, .caution, .warning, .keep, .scroll, tr { break-inside: avoid; }
  .scroll, .command { overflow: visible; }
  thead { display: table-header-group; }
  a { color: inherit; text-decoration: none; }
  .picture { font-size: 10px; }
  .placement figure { margin: 0; }
  .placement figure .note { font-size: 7.5pt; line-height: 1.3; }
  .keep > h3 { margin-top: 0; }
  .keep > p { font-size: 9.5pt; line-height: 1.35; }
}
`;
