import { paretoFigure } from '../figure/index.js';
import { type CopperDocument, copperNotes, type CopperRow, copperWarnings, leastWords, tippingWords } from '../study/index.js';
import { PageFigures, type Section, table } from './content.js';
import { type Html, html, nameOf } from './html.js';
import { pagePieces, pageText } from './page.js';
import { caution } from './sections/caution.js';

/** A copper study as one page that opens offline, in pieces for writing one after the other. */
export function copperPage(copper: CopperDocument): Iterable<string> {
  const figures = new PageFigures();
  const sections: Section[] = [
    { id: 'designs', heading: 'What each bar carries', body: designs(copper, figures) },
    caution(),
    ...(copper.least === null ? [] : [{ id: 'least', heading: 'Least copper', body: least(copper, copper.least) }]),
    { id: 'cost', heading: 'Mass, price, drop and heat', body: costs(copper) },
    ...(tippingWords(copper) === null ? [] : [{ id: 'tipping', heading: 'Tipping', body: tipping(copper) }]),
    { id: 'reproduce', heading: 'How to reproduce this', body: reproduce(copper) },
  ];
  const head = html`<header><p class="kicker">Copper study of a rack busbar</p>
<h1>${nameOf(copper.name)}</h1>
<p>Rack ${nameOf(copper.rack.name)}: which copper carries how much, on the scenarios of ${nameOf(copper.study.name)}.</p></header>
`;
  return pagePieces(pageText(copper.name, head, sections, 'copper'), figures);
}

function designs(copper: CopperDocument, figures: PageFigures): Html {
  const { percentilePercent, study } = copper;
  const warnings = copperWarnings(copper);
  const hasFloor = copper.designs.some(({ floorKw }) => floorKw !== null);
  return html`${figures.figure('pareto', paretoFigure(copper))}${table('Bars by mass', [
    'Bar', 'Front', 'kg', `${percentilePercent} %, kW`, `${study.confidencePercent} % interval`, 'Less base, kW',
    'Its interval', ...(hasFloor ? ['Floor, kW'] : []), 'Common scenarios gain',
  ], copper.designs.map((row) => [
    nameOf(row.name), front(row), row.copperKg.toFixed(1), row.ratedKw.toFixed(1), interval(row.lowerKw, row.upperKw, 1),
    row.isBase ? '–' : signed(row.differenceKw), row.isBase ? '–' : interval(row.differenceLowerKw, row.differenceUpperKw, 2),
    ...(hasFloor ? [floorWords(row)] : []),
    row.varianceReduction === null ? '–' : `${Number(row.varianceReduction.toPrecision(2))} ×`,
  ]))}${warnings.map((words) => html`<p class="${words.startsWith('WARNING') ? 'warning' : 'note'}">${words}</p>
`)}${copperNotes(copper).map((words) => html`<p class="note">${words}</p>
`)}`;
}

function front({ onFront, mark, isBase }: CopperRow): string {
  return onFront ? (mark ?? (isBase ? 'base' : 'yes')) : '–';
}

/** Down: what is proven may not read higher than it is. `+`: not settled. */
function floorWords({ floorKw, floorSettled }: CopperRow): string {
  return floorKw === null ? '–' : `${(Math.floor(floorKw * 10) / 10).toFixed(1)}${floorSettled === true ? '' : '+'}`;
}

function least(copper: CopperDocument, found: NonNullable<CopperDocument['least']>): Html {
  const isScale = found.vary === 'scale';
  return html`${leastWords(found, copper.currency, copper.percentilePercent).map((words) => html`<p>${words}</p>
`)}${found.basis === 'floor' ? html`` : table('Looked at before the search', [isScale ? 'Factor' : 'Value, mm', 'Carries, kW'],
    found.looks.map(({ factor, valueMm, ratedKw }) => (
      [String(Number((factor ?? valueMm ?? 0).toFixed(4))), ratedKw.toFixed(1)])))}`;
}

function costs(copper: CopperDocument): Html {
  const { currency, loadKw, percentilePercent, designs: rows } = copper;
  const hasPrice = rows.some(({ price }) => price !== null);
  return table(`At ${loadKw} kW of load`, [
    'Bar', 'kg', ...(hasPrice ? [`Price, ${currency ?? ''}`] : []),
    `Drop, ${Number((100 - percentilePercent).toPrecision(9))} %, mV`,
    'Largest, mV', 'Heat of the bar, W', 'With contacts, W',
  ], rows.map((row) => [
    nameOf(row.name), row.copperKg.toFixed(1), ...(hasPrice ? [whole(row.price)] : []), whole(row.dropHighMv),
    whole(row.dropLargestMv), whole(row.barHeatW), whole(row.heatW),
  ]));
}

function tipping(copper: CopperDocument): Html {
  return html`<p>${tippingWords(copper) ?? ''}</p>
${table('The placement drawn that tips first', [
    'Bar', 'Angle, °', 'Over the feet', 'Scenario', 'Rack, kg', 'Centre above floor, mm', 'Bar, centre above slot 1, mm',
  ], copper.designs.map(({ name, tipping: found, centreHeightMm }) => [
    nameOf(name), found === null ? '–' : found.angleDegrees.toFixed(2), found === null ? '–' : found.side,
    found === null ? '–' : String(found.scenario), found === null ? '–' : found.massKg.toFixed(0),
    found === null ? '–' : found.centreHeightMm.toFixed(0), centreHeightMm.toFixed(0),
  ]))}<p class="note">tan(angle) = distance from the centre of mass to the line of feet / height of the centre. Every unit has its
mass at half its height, the bar where its sections have it; rack, feet and horizontal places as the copper file says.</p>
`;
}

function reproduce({ command, inputs, library }: CopperDocument): Html {
  return html`<p><code class="command">${command ?? 'made from code: copperStudy of the library'}</code></p>
<p class="note">slotcast ${library.version}, Node ${library.node}. Files: ${
  inputs.map(({ path, sha256 }) => `${path} (SHA-256 ${sha256.slice(0, 12)}…)`).join(', ')}.</p>
`;
}

const whole = (value: number | null) => (value === null ? '–' : value.toFixed(0));

function interval(lower: number | null, upper: number | null, decimals: number): string {
  return lower === null || upper === null ? '–' : `${lower.toFixed(decimals)} to ${upper.toFixed(decimals)}`;
}

function signed(value: number | null): string {
  return value === null ? '–' : `${value > 0 ? '+' : ''}${value.toFixed(2)}`;
}
