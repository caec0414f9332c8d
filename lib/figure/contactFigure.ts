import { describeState, type LadderSolution } from '../ladder/index.js';
import { type Limits, ZERO_CELSIUS } from '../rack/index.js';
import { forPicture } from './barProfile.js';
import { sentenceCase } from './bindingWords.js';
import { contactWords, nearestToLimit, otherContactWords, spotC } from './contactWords.js';
import { escapeLabel } from './escapeLabel.js';
import type { Figure, Trace } from './figure.js';
import { axis, frame, titled } from './frame.js';
import { type KeyEntry, lineKey } from './lineKey.js';
import { formatNumber } from './numberFormat.js';
import { PALETTE } from './palette.js';
import { SLOT_MARGIN, slotAxis, slotPixels } from './slotAxis.js';

const LIMIT_LINE = { color: PALETTE.limit, width: 2, dash: '12px,4px' };
const SOURCE_LIMIT_LINE = { color: PALETTE.limit, width: 3 };
const KINDS = [
  { name: 'sources', symbol: '■', marker: 'square', color: PALETTE.powerShelf.edge },
  { name: 'loads', symbol: '●', marker: 'circle', color: PALETTE.load.edge },
] as const;

/**
 * What each unit's contact carries and how warm it gets, over the height of the rack: current in A with the limits of
 * load contacts (dashed) and of sources (solid, beside each), and next to it the warmer of its two contact spots in °C
 * with its limit. Squares are sources, circles loads, hollow ones the other operating states.
 *
 * @param others the same placement and load in its other operating states
 * @param name what the solution belongs to, for the title; left out where the page says so
 */
export function contactFigure(
  solution: LadderSolution, limits: Limits, name = '', others: readonly LadderSolution[] = [],
): Figure {
  const slotCount = solution.air.length;
  const nearest = nearestToLimit(solution, limits);
  const finding = nearest === null ? 'no contact has a limit'
    : `the contact nearest its limit is that of the ${nearest.place}: ${nearest.words}`;
  const title = titled(name, finding);
  const hasTemperatureLimit = Number.isFinite(limits.contactTemperature);
  const data = [
    ...others.flatMap((other) => unitTraces(other, true)),
    ...unitTraces(solution, false),
    ...currentLimits(solution, limits, slotCount),
    ...(hasTemperatureLimit ? [limitLine(limits.contactTemperature - ZERO_CELSIUS, 0.5, slotCount + 0.5, 'x2')] : []),
  ];
  const key: KeyEntry[] = [
    ...KINDS.map((kind) => ({ name: kind.name, symbol: kind.symbol })),
    ...(data.some((trace) => trace.name === 'limit') ? [{ name: 'limit', line: LIMIT_LINE }] : []),
    ...(data.some((trace) => trace.name === 'source limit') ? [{ name: 'source limit', line: SOURCE_LIMIT_LINE }] : []),
    ...(others.length > 0 ? [{ name: 'other states', symbol: '□○' }] : []),
  ];
  return {
    title,
    description: `${sentenceCase(finding)}. ${contactWords(solution, limits)}${otherContactWords(others)}`,
    data,
    layout: frame(title, slotCount * slotPixels(slotCount) + SLOT_MARGIN.top + SLOT_MARGIN.bottom,
      { l: 40, r: 14, t: SLOT_MARGIN.top, b: SLOT_MARGIN.bottom }, {
        xaxis: axis('contact current, A', { domain: [0, 0.56], nticks: 4, range: rangeOf(data, undefined) }),
        xaxis2: axis('contact spot, °C', { domain: [0.66, 1], anchor: 'y', nticks: 3, range: rangeOf(data, 'x2') }),
        yaxis: slotAxis(slotCount),
        ...lineKey(key),
      }),
  };
}

/** Of a panel, with room for marks and limits at its edges; currents from 0. */
function rangeOf(traces: readonly Trace[], panel: 'x2' | undefined): [number, number] {
  const shown = traces.filter(({ xaxis }) => xaxis === panel).flatMap(({ x }) => x);
  const [low, high] = [panel === undefined ? 0 : Math.min(...shown), Math.max(...shown)];
  const room = 0.06 * (high - low) || 1;
  return [low - room, high + room];
}

function unitTraces({ units, state }: LadderSolution, isOther: boolean): Trace[] {
  return KINDS.flatMap(({ name, marker, color }) => {
    const own = units.filter(({ unit }) => (unit.kind === 'load') === (name === 'loads'));
    if (own.length === 0) return [];
    const y = own.map(({ unit }) => unit.contactSlot);
    const style = {
      type: 'scatter', mode: 'markers', name: isOther ? `${name}, other states` : name, y, hoverinfo: 'text',
      marker: isOther
        ? { symbol: `${marker}-open`, size: 5, color: PALETTE.air, line: { width: 0.8 } }
        : { symbol: marker, size: 6, color },
      hovertext: own.map((one) => `slot ${one.unit.contactSlot}, ${escapeLabel(one.unit.equipment)}: `
        + `${formatNumber(Math.abs(one.current), 0)} A, ${formatNumber(spotC(one), 1)} °C`
        + (isOther ? ` (${describeState(state)})` : '')),
    } as const;
    return [
      { ...style, x: own.map(({ current }) => forPicture(Math.abs(current))) },
      { ...style, x: own.map((one) => forPicture(spotC(one))), xaxis: 'x2' },
    ];
  });
}

function limitLine(at: number, from: number, to: number, xaxis?: 'x2'): Trace {
  return {
    type: 'scatter', mode: 'lines', name: 'limit', x: [forPicture(at), forPicture(at)], y: [from, to],
    ...(xaxis === undefined ? {} : { xaxis }),
    line: LIMIT_LINE, hoverinfo: 'x+name',
  };
}

/** Sources have their own limits, drawn over their own slots; load contacts share one. */
function currentLimits({ units }: LadderSolution, limits: Limits, slotCount: number): Trace[] {
  const own = units.filter(({ unit }) => unit.kind !== 'load' && Number.isFinite(unit.maxCurrent))
    .map(({ unit }): Trace => ({
      ...limitLine(unit.maxCurrent, unit.bottomSlot - 0.5, unit.bottomSlot + unit.heightSlots - 0.5),
      name: 'source limit', line: SOURCE_LIMIT_LINE,
    }));
  return Number.isFinite(limits.loadContactCurrent)
    ? [...own, limitLine(limits.loadContactCurrent, 0.5, slotCount + 0.5)] : own;
}
