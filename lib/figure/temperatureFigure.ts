import { describeState, type LadderSolution } from '../ladder/index.js';
import { type Limits, ZERO_CELSIUS } from '../rack/index.js';
import { barRise, forPicture, peakRise } from './barProfile.js';
import type { Figure, Trace } from './figure.js';
import { axis, frame, titled } from './frame.js';
import { lineKey } from './lineKey.js';
import { formatNumber, lessWords } from './numberFormat.js';
import { PALETTE } from './palette.js';
import { SLOT_MARGIN, slotAxis, slotPixels } from './slotAxis.js';

/**
 * Temperature along the bar: rise of both poles above the local air, at the hottest point
 * of the depth, over the height of the rack with the limits, and
 * beside it the air itself.
 *
 * @param others the same placement and load in its other operating states, drawn thin
 * @param name what the solution belongs to, for the title, e.g. `Worst of the sample`; left out where the page says so
 */
export function temperatureFigure(
  solution: LadderSolution, limits: Limits, name = '', others: readonly LadderSolution[] = [],
): Figure {
  const { air } = solution;
  const slotCount = air.length;
  const slots = Array.from({ length: slotCount }, (_, i) => i + 1);
  const rise = barRise(solution);
  const peak = peakRise(solution);
  const hasRiseLimit = Number.isFinite(limits.barRise);
  const airC = Array.from(air, (t) => forPicture(t - ZERO_CELSIUS));
  const [coolest, warmest] = [Math.min(...airC), Math.max(...airC)];
  const side = peak.pole === 'both' ? 'both poles' : `${peak.pole} pole`;
  const title = titled(name, `the bar rises by at most ${formatNumber(peak.value, 1)} K, at slot ${peak.slot}`
    + (hasRiseLimit ? ` (limit ${formatNumber(limits.barRise, 1)} K)` : ''));
  const line = (name: string, x: readonly number[], options: Readonly<Record<string, unknown>>): Trace =>
    ({ type: 'scatter', mode: 'lines', name, x, y: slots, ...options });
  const data = [
    ...otherTraces(others, slots),
    line('supply', rise.supply.map(forPicture), {
      line: { color: PALETTE.supply, width: 4 },
      hovertemplate: 'slot %{y}: supply %{x:.1f} K above the air<extra></extra>',
    }),
    line('return', rise.return.map(forPicture), {
      line: { color: PALETTE.return, width: 2.5, dash: '6px,3px' },
      hovertemplate: 'slot %{y}: return %{x:.1f} K above the air<extra></extra>',
    }),
    ...limitTraces(limits, air, slots),
    line('air', airC, {
      xaxis: 'x2', line: { color: PALETTE.air, width: 2, dash: '2px,2px', shape: 'vhv' },
      hovertemplate: 'slot %{y}: air %{x:.1f} °C<extra></extra>',
    }),
  ];
  const height = slotCount * slotPixels(slotCount) + SLOT_MARGIN.top + SLOT_MARGIN.bottom;
  const room = Math.max(1, (warmest - coolest) * 0.15);
  return {
    title,
    description: `Rise above the local air: highest ${formatNumber(peak.value, 1)} K at slot ${peak.slot}, ${side}. `
      + `${limitWords(limits)}Air beside the bar: ${formatNumber(coolest, 1)} to ${formatNumber(warmest, 1)} °C.${
        otherWords(others, peak.value)}`,
    data,
    layout: frame(title, height, { l: 40, r: 10, t: SLOT_MARGIN.top, b: SLOT_MARGIN.bottom }, {
      xaxis: axis('rise above local air, K', { domain: [0, 0.68], rangemode: 'tozero', nticks: 5 }),
      xaxis2: axis('air, °C', {
        domain: [0.78, 1], anchor: 'y', range: [coolest - room, warmest + room],
        tickvals: ticksOfAir(coolest, warmest),
      }),
      yaxis: slotAxis(slotCount),
      ...lineKey(keyOf(data)),
    }),
  };
}

const OTHERS = 'other states';
const OTHER_LINE = { color: PALETTE.air, width: 1 };
const OTHER_RETURN = { ...OTHER_LINE, dash: '6px,3px' };

/** Each name once, the air's panel says for itself what it is. */
function keyOf(traces: readonly Trace[]): { readonly name: string; readonly line: unknown }[] {
  const named = traces.filter(({ name }) => name !== undefined && name !== 'air' && name !== OTHERS);
  const others = traces.find(({ name }) => name === OTHERS);
  return [...named, ...(others === undefined ? [] : [others])].map(({ name = '', line }) => ({ name, line }));
}

/** The other operating states, drawn thin and named where pointed at. */
function otherTraces(others: readonly LadderSolution[], slots: readonly number[]): Trace[] {
  return others.flatMap((solution) => {
    const rise = barRise(solution);
    return (['supply', 'return'] as const).map((pole): Trace => ({
      type: 'scatter', mode: 'lines', name: OTHERS, x: rise[pole].map(forPicture), y: slots,
      line: pole === 'supply' ? OTHER_LINE : OTHER_RETURN,
      hovertemplate: `slot %{y}: ${pole} %{x:.1f} K (${describeState(solution.state)})<extra></extra>`,
    }));
  });
}

function otherWords(others: readonly LadderSolution[], shown: number): string {
  if (others.length === 0) return '';
  const highest = Math.max(...others.map((solution) => peakRise(solution).value));
  return ` In ${others.length === 1 ? 'the other operating state' : `the ${others.length} other operating states`} `
    + `at the same load at most ${formatNumber(highest, 1)} K, ${lessWords(shown, highest, 1, 'K')}.`;
}

function limitTraces(limits: Limits, air: Float64Array, slots: readonly number[]): Trace[] {
  const style = { type: 'scatter', mode: 'lines' } as const;
  const traces: Trace[] = [];
  if (Number.isFinite(limits.barRise)) {
    traces.push({
      ...style, name: `limit ${formatNumber(limits.barRise, 1)} K`,
      x: [limits.barRise, limits.barRise], y: [0.5, slots.length + 0.5],
      line: { color: PALETTE.limit, width: 2, dash: '12px,4px' }, hoverinfo: 'name',
    });
  }
  if (Number.isFinite(limits.barTemperature)) {
    traces.push({
      ...style, name: `limit ${formatNumber(limits.barTemperature - ZERO_CELSIUS, 1)} °C`,
      x: slots.map((slot) => forPicture(limits.barTemperature - air[slot - 1])), y: slots,
      line: { color: PALETTE.limit, width: 2, dash: '12px,3px,2px,3px' }, hoverinfo: 'name',
    });
  }
  return traces;
}

function limitWords({ barRise: rise, barTemperature }: Limits): string {
  const limits = [
    ...(Number.isFinite(rise) ? [`a rise of ${formatNumber(rise, 1)} K`] : []),
    ...(Number.isFinite(barTemperature)
      ? [`a bar temperature of ${formatNumber(barTemperature - ZERO_CELSIUS, 1)} °C`] : []),
  ];
  return limits.length > 0
    ? `Limit: ${limits.join(' and ')}. ` : 'The rack limits neither rise nor temperature of the bar. ';
}

/** Two whole degrees where the air differs enough to hold them, else one: the panel is narrow. */
function ticksOfAir(coolest: number, warmest: number): number[] {
  // 28.99 is drawn where 29 is.
  const [low, high] = [Math.ceil(coolest - 0.05), Math.floor(warmest + 0.05)];
  return high > low ? [low, high] : [forPicture((coolest + warmest) / 2)];
}
