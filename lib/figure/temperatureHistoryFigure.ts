import { describeState, type FollowedLoad, type HistoryPoint, LIMIT_WORDS } from '../ladder/index.js';
import { type Limits, ZERO_CELSIUS } from '../rack/index.js';
import { forPicture } from './barProfile.js';
import type { Figure, Trace } from './figure.js';
import { axis, frame, titled } from './frame.js';
import { lineKey } from './lineKey.js';
import { countOf, formatNumber } from './numberFormat.js';
import { PALETTE } from './palette.js';

const PLOT = 400;
const MARGIN = { l: 58, r: 22, t: 44, b: 50 };
/** Of the height of the plot, from below: load, part used of the nearest limit, temperature. */
const PANELS = { load: [0, 0.2], used: [0.29, 0.58], temperature: [0.67, 1] } as const;
const SHOWN = { color: PALETTE.supply, width: 2 };
const OTHER = { color: PALETTE.air, width: 1 };
const LIMIT = { color: PALETTE.limit, width: 2, dash: '12px,4px' };
const LOAD = { color: PALETTE.return, width: 2, shape: 'vh' };

/** Whether every limit holds at every moment, to the end of the load. */
export function isCarried({ status, worst }: FollowedLoad): boolean {
  return status === 'solved' && worst !== null && worst.utilisation <= 1;
}

/**
 * Temperature of the hottest point of the bar over time, how near the nearest limit is, and the load, one above the other.
 *
 * @param followed a load as a placement takes it in one operating state
 * @param limits of the rack: a limit of the bar's temperature is drawn
 * @param others the same load in the other operating states, drawn thin
 * @param name what the load belongs to, for the title
 * @throws RangeError where not even the steady state before the load is there to be drawn
 */
export function temperatureHistoryFigure(
  followed: FollowedLoad, limits: Limits, name = '', others: readonly FollowedLoad[] = [],
): Figure {
  const { points, worst } = followed;
  if (points.length === 0 || worst === null) {
    throw new RangeError('followed: no moment to draw; the load before the first step has no steady state');
  }
  const time = clock(points[points.length - 1].time);
  const hottest = points.reduce((most, point) => (point.hottest > most.hottest ? point : most));
  const title = titled(name, findingOf(followed, worst, time));
  const hasLimit = Number.isFinite(limits.barTemperature);
  const ends = [0, time.of(points[points.length - 1])];
  const limitC = forPicture(limits.barTemperature - ZERO_CELSIUS);
  const shared = { type: 'scatter', mode: 'lines' } as const;
  const data: Trace[] = [
    ...others.flatMap((other) => otherTraces(other, time)),
    { ...shared, ...temperatures(points, time), name: 'hottest point', line: SHOWN, hoverinfo: 'text' },
    ...(hasLimit ? [{ ...shared, name: 'limit', x: ends, y: [limitC, limitC], line: LIMIT, hoverinfo: 'skip' }] : []),
    { ...shared, ...uses(points, time), name: 'used', yaxis: 'y2', line: SHOWN, hoverinfo: 'text' },
    { ...shared, name: 'limit', x: ends, y: [100, 100], yaxis: 'y2', line: LIMIT, hoverinfo: 'skip' },
    { ...shared, ...loads(points, time), name: 'load', yaxis: 'y3', line: LOAD, hovertemplate: '%{y:.1f} kW<extra></extra>' },
  ];
  const key = lineKey([
    { name: describeState(followed.state), line: SHOWN }, { name: 'limit', line: LIMIT },
    ...(others.length > 0 ? [{ name: 'other states', line: OTHER }] : []),
  ], 2, 190);
  return {
    title,
    description: `${sentence(followed, worst, time)} Hottest point of the bar: `
      + `${formatNumber(points[0].hottest - ZERO_CELSIUS, 1)} °C before the load, at most `
      + `${formatNumber(hottest.hottest - ZERO_CELSIUS, 1)} °C, after ${time.words(hottest)} at slot ${hottest.slot}.`
      + `${otherWords(others)}${settlingWords(followed)}`,
    data,
    layout: frame(title, PLOT + MARGIN.t + MARGIN.b, MARGIN, {
      xaxis: axis(`time, ${time.unit}`, { anchor: 'y3', nticks: 7 }),
      yaxis: axis('hottest, °C', { domain: PANELS.temperature, nticks: 5 }),
      yaxis2: axis('of the limit, %', { domain: PANELS.used, nticks: 5, rangemode: 'tozero' }),
      yaxis3: axis('load, kW', { domain: PANELS.load, nticks: 4, rangemode: 'tozero' }),
      ...key,
    }),
  };
}

interface Clock {
  readonly unit: 's' | 'min' | 'h';
  of(point: HistoryPoint): number;
  words(point: HistoryPoint): string;
}

/** Time as people read it, for a load of so many seconds. */
function clock(seconds: number): Clock {
  const [unit, of] = seconds <= 600 ? ['s', 1] as const : seconds <= 6 * 3600 ? ['min', 60] as const : ['h', 3600] as const;
  const words = ({ time }: HistoryPoint) => `${formatNumber(time / of, time < 9.95 * of ? 1 : 0)} ${unit}`;
  return { unit, of: ({ time }) => forPicture(time / of), words };
}

function temperatures(points: readonly HistoryPoint[], time: Clock, before = '') {
  return {
    x: points.map((point) => time.of(point)), y: points.map(({ hottest }) => forPicture(hottest - ZERO_CELSIUS)),
    hovertext: points.map((point) => `${before}${formatNumber(point.hottest - ZERO_CELSIUS, 1)} °C after ${time.words(point)}, `
      + `slot ${point.slot}, ${point.pole} pole`),
  };
}

function uses(points: readonly HistoryPoint[], time: Clock) {
  return {
    x: points.map((point) => time.of(point)), y: points.map(({ utilisation }) => forPicture(100 * utilisation)),
    hovertext: points.map((point) => `${formatNumber(100 * point.utilisation, 1)} % of ${LIMIT_WORDS[point.binding.limit]} `
      + `after ${time.words(point)}`),
  };
}

/** A moment's load is that of the stretch which ends there: the end of each is enough. */
function loads(points: readonly HistoryPoint[], time: Clock) {
  const ends = points.filter(({ power }, k) => k === 0 || k === points.length - 1 || points[k + 1].power !== power);
  return { x: ends.map((point) => time.of(point)), y: ends.map(({ power }) => forPicture(power / 1e3)) };
}

function otherTraces({ points, state }: FollowedLoad, time: Clock): Trace[] {
  const shared = { type: 'scatter', mode: 'lines', name: 'other states', line: OTHER, hoverinfo: 'text' } as const;
  const { hovertext, ...drawn } = temperatures(points, time);
  return points.length === 0 ? [] : [{ ...shared, ...drawn, text: describeState(state) }];
}

const END_WORDS = { 'voltage-collapse': 'the voltage collapses', 'no-steady-state': 'heat runs away' } as const;

function findingOf(followed: FollowedLoad, worst: HistoryPoint, time: Clock): string {
  const at = `${formatNumber(100 * worst.utilisation, 1)} % of ${LIMIT_WORDS[worst.binding.limit]} after ${time.words(worst)}`;
  if (followed.status !== 'solved') return `not carried: ${endWords(followed, time)}`;
  return isCarried(followed) ? `carried, with at most ${at}` : `not carried: ${at}`;
}

function endWords({ status, points }: FollowedLoad, time: Clock): string {
  const words = status === 'voltage-collapse' || status === 'no-steady-state' ? END_WORDS[status] : 'no solution is found';
  return `${words} after ${time.words(points[points.length - 1])}`;
}

function sentence(followed: FollowedLoad, worst: HistoryPoint, time: Clock): string {
  const { slot, pole } = worst.binding;
  const place = `${slot > 0 ? ` at slot ${slot}` : ''}${pole === 'both' ? '' : `, ${pole} pole`}`;
  const end = followed.status === 'solved' ? '' : ` In the end ${endWords(followed, time)}.`;
  return `State: ${describeState(followed.state)}. Nearest to a limit after ${time.words(worst)}: `
    + `${formatNumber(100 * worst.utilisation, 1)} % of ${LIMIT_WORDS[worst.binding.limit]}${place}.${end}`;
}

function otherWords(others: readonly FollowedLoad[]): string {
  if (others.length === 0) return '';
  const carried = others.filter(isCarried).length;
  return ` ${carried === others.length ? `${countOf(others.length, 'other operating state')} carry it too.`
    : `${carried} of ${countOf(others.length, 'other operating state')} carry it.`}`;
}

function settlingWords({ timeConstant, points }: FollowedLoad): string {
  if (timeConstant === null) return '';
  const followed = points[points.length - 1].time;
  return ` Slowest time constant of the bar: ${formatNumber(timeConstant / 60, 0)} min${followed < 3 * timeConstant
    ? ', so that it is still warming at the end' : ''}.`;
}
