import {
  bindingWords, contactFigure, currentFigure, elevationWords, formatNumber, rackElevation, temperatureFigure,
} from '../../figure/index.js';
import { describeState, type LadderSolution } from '../../ladder/index.js';
import { type Rack, ZERO_CELSIUS } from '../../rack/index.js';
import type { Replay } from '../../study/index.js';
import type { PageFigures } from '../content.js';
import { Html, html } from '../html.js';

export interface PlacementOptions {
  /** Prefix of the ids of its figures. */
  readonly id: string;
  readonly heading: string;
  /** Why it carries what it carries; empty: what binds is told. */
  readonly explanation: string;
  /** Whether current and temperature of the contacts are drawn too. */
  readonly contacts: boolean;
  /** kW as in the rest of the page. */
  readonly kw: (value: number) => string;
}

/** One placement: what binds and why, the rack from the front, and temperature, current and contacts over its height. */
export function placementPart(replay: Replay, rack: Rack, figures: PageFigures, options: PlacementOptions): Html {
  const { id, heading, explanation, contacts, kw } = options;
  const { rated, scenario, solutions } = replay;
  const [shown] = solutions;
  const elevation = html`<figure id="figure-${id}-rack" class="rack">
<figcaption>Front view, slot 1 at the bottom</figcaption>
${new Html(rackElevation(replay, rack.slotCount, `${id}-rack`))}
<p class="note">${elevationWords(replay)}</p>
</figure>
`;
  const head = html`<h3>${heading}: ${kw(rated.power / 1e3)} kW</h3>
<p>${explanation === '' ? html`${bindingSentence(replay)} ` : html`${explanation} `}${contactWords(replay, rack)}${
    pictureWords(replay)}</p>
`;
  if (shown === undefined || shown.status !== 'solved') {
    const why = shown?.status === 'voltage-collapse'
      ? 'the voltage collapses: the constant-power loads ask for more than the bar can transfer'
      : 'the bar finds no steady temperature: its resistance grows faster with temperature than its cooling';
    return html`<div class="keep">${head}<p class="warning">There is no solution to draw for ${nameOf(scenario.index)},
because at ${kw((shown?.power ?? rated.power) / 1e3)} kW ${why}.</p>
<div class="placement">
${elevation}</div></div>
`;
  }
  const others = solutions.slice(1).filter((one): one is LadderSolution => one.status === 'solved');
  return html`<div class="keep">${head}<div class="placement">
${elevation}${figures.figure(`${id}-temperature`, temperatureFigure(shown, rack.limits, '', others))}${
    figures.figure(`${id}-current`, currentFigure(shown, '', others))}</div></div>
${contacts ? figures.figure(`${id}-contacts`, contactFigure(shown, rack.limits, '', others)) : html``}`;
}

function nameOf(index: number): string {
  return index < 0 ? 'this placement' : `scenario ${index}`;
}

/** What binds in this placement. */
function bindingSentence({ rated, scenario }: Replay): string {
  const { state } = rated;
  const words = bindingWords({ ...rated, state: state.rule, outSlot: state.outSlot });
  const name = nameOf(scenario.index);
  const subject = name.charAt(0).toUpperCase() + name.slice(1);
  return rated.power === 0
    ? `${subject} carries no load at all: ${words} is reached before the smallest load.`
    : `${subject} is limited by ${words}.`;
}

/** For which state and at which power the pictures are drawn. */
function pictureWords({ rated, solutions }: Replay): string {
  const { state } = rated;
  const [shown] = solutions;
  const strong = state.rule === 'all-in-service' ? ''
    : `Strong lines show the operating state “${describeState(state)}”, which binds before the others. `;
  if (shown?.status !== 'solved') return strong;
  const power = rated.power === 0 ? 'The pictures show a total load of 1 W.'
    : shown.power < rated.power
      ? 'The pictures are drawn a ten-thousandth below the rated power, where a solution still exists.' : '';
  return `${strong}${power}`;
}

/** A contact that binds is hotter than the bar beside it, which the pictures show. */
function contactWords({ rated, solutions }: Replay, rack: Rack): string {
  const [shown] = solutions;
  if (rated.limit !== 'contact-temperature' || shown?.status !== 'solved') return '';
  const contact = shown.units.find(({ unit }) => unit.contactSlot === rated.slot);
  if (contact === undefined) return '';
  const pole = rated.pole === 'return' ? 1 : 0;
  const bar = (pole === 1 ? shown.returnHottest : shown.supplyHottest)[rated.slot - 1];
  const celsius = (kelvin: number) => `${formatNumber(kelvin - ZERO_CELSIUS, 1)} °C`;
  return `The contact of ${contact.unit.equipment} there carries ${formatNumber(contact.current, 0)} A and reaches `
    + `${celsius(contact.contactTemperature[pole])} at a limit of ${celsius(rack.limits.contactTemperature)}; `
    + `the bar beside it is at ${celsius(bar)}. `;
}
