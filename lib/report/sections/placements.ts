import {
  bindingWords, currentFigure, elevationWords, formatNumber, rackElevation, temperatureFigure,
} from '../../figure/index.js';
import { describeState } from '../../ladder/index.js';
import { ZERO_CELSIUS } from '../../rack/index.js';
import type { Replay } from '../../study/index.js';
import type { Content, Section } from '../content.js';
import { Html, html } from '../html.js';

/** Temperature and current along the bar of the worst and the median placement, beside the rack. */
export function placements(content: Content): Section {
  const { worst, median } = content.input;
  return {
    id: 'placements',
    heading: 'Along the bar: worst and median placement',
    body: html`<p>Rise is counted above the air beside each slot. In the front view, hatched units are power shelves,
dotted ones with round corners battery shelves, and loads are filled from the left by their power per slot (full: the
densest of the rack); S and R are the supply and the return pole, darker where warmer, and the numbers give the hotter
of the two.</p>
${onePlacement(content, worst, 'worst', 'Worst of the sample')}${
      onePlacement(content, median, 'median', 'Median placement')}`,
  };
}

function onePlacement(content: Content, replay: Replay, id: string, name: string): Html {
  const { rack } = content.input;
  const { rated, scenario, solutions } = replay;
  const shown = solutions[0];
  const elevation = html`<figure id="figure-${id}-rack" class="rack">
<figcaption>Front view, slot 1 at the bottom</figcaption>
${new Html(rackElevation(replay, rack.slotCount, `${id}-rack`))}
<p class="note">${elevationWords(replay)}</p>
</figure>
`;
  const head = html`<h3>${name}: ${content.kw(rated.power / 1e3)} kW</h3>
<p>${bindingSentence(content, replay)}</p>
`;
  if (shown === undefined || shown.status !== 'solved') {
    const why = shown?.status === 'voltage-collapse'
      ? 'the voltage collapses: the constant-power loads ask for more than the bar can transfer'
      : 'the bar finds no steady temperature: its resistance grows faster with temperature than its cooling';
    return html`<div class="keep">${head}<p class="warning">There is no solution to draw for scenario
${scenario.index}, because at ${content.kw((shown?.power ?? rated.power) / 1e3)} kW ${why}.</p>
<div class="placement">
${elevation}</div></div>
`;
  }
  return html`<div class="keep">${head}<div class="placement">
${elevation}${content.figure(`${id}-temperature`, temperatureFigure(shown, rack.limits))}${
    content.figure(`${id}-current`, currentFigure(shown))}</div></div>
`;
}

/** What binds in this placement, how near, and at which power the pictures are drawn. */
function bindingSentence(content: Content, replay: Replay): Html {
  const { rated, scenario, solutions } = replay;
  const { state } = rated;
  const words = bindingWords({ ...rated, state: state.rule, outSlot: state.outSlot });
  const start = rated.power === 0
    ? `Scenario ${scenario.index} carries no load at all: ${words} is reached before the smallest load.`
    : `Scenario ${scenario.index} is limited by ${words}.`;
  const shown = solutions[0];
  const state0 = state.rule === 'all-in-service' ? ''
    : ` This and the pictures are for the operating state “${describeState(state)}”, which binds before the others.`;
  if (shown?.status !== 'solved') return html`${start}${state0}`;
  const power = rated.power === 0 ? ' The pictures show a total load of 1 W.'
    : shown.power < rated.power
      ? ' The pictures are drawn a ten-thousandth below the rated power, where a solution still exists.' : '';
  return html`${start}${contactWords(content, replay)}${state0}${power}`;
}

/** A contact that binds is hotter than the bar beside it, which the pictures show. */
function contactWords({ input }: Content, { rated, solutions }: Replay): string {
  const shown = solutions[0];
  if (rated.limit !== 'contact-temperature' || shown?.status !== 'solved') return '';
  const contact = shown.units.find(({ unit }) => unit.contactSlot === rated.slot);
  if (contact === undefined) return '';
  const pole = rated.pole === 'return' ? 1 : 0;
  const bar = (pole === 1 ? shown.returnHottest : shown.supplyHottest)[rated.slot - 1];
  const celsius = (kelvin: number) => `${formatNumber(kelvin - ZERO_CELSIUS, 1)} °C`;
  return ` The contact of ${contact.unit.equipment} there carries ${formatNumber(contact.current, 0)} A and reaches `
    + `${celsius(contact.contactTemperature[pole])} at a limit of ${celsius(input.rack.limits.contactTemperature)}; `
    + `the bar beside it is at ${celsius(bar)}.`;
}
