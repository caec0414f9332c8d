/** Contacts in words: what they carry, how warm they are, and how near that is to their limits. */
import type { LadderSolution } from '../ladder/index.js';
import { type Limits, ZERO_CELSIUS } from '../rack/index.js';
import { formatNumber } from './numberFormat.js';

type Unit = LadderSolution['units'][number];

/** °C of the warmer pole's contact spot. */
export function spotC({ contactTemperature }: Unit): number {
  return Math.max(...contactTemperature) - ZERO_CELSIUS;
}

/** The contact nearest to one of its limits. */
export interface NearestContact {
  /** e.g. `load at slot 7` */
  readonly place: string;
  /** Value and limit with their unit. */
  readonly words: string;
  /** Of the limit, 1 where it is reached. */
  readonly part: number;
}

/** The contact that uses most of a limit: of current, or of the way from the air beside it to its temperature. */
export function nearestToLimit({ units, air }: LadderSolution, limits: Limits): NearestContact | null {
  const found = units.flatMap((one): NearestContact[] => {
    const { unit, current } = one;
    const amperes = Math.abs(current);
    const most = unit.kind === 'load' ? limits.loadContactCurrent : unit.maxCurrent;
    const local = air[unit.contactSlot - 1] - ZERO_CELSIUS;
    const limitC = limits.contactTemperature - ZERO_CELSIUS;
    const place = placeOf(one);
    return [
      ...(Number.isFinite(most) ? [{
        place, part: amperes / most, words: `${formatNumber(amperes, 0)} A, limit ${formatNumber(most, 0)} A`,
      }] : []),
      ...(Number.isFinite(limitC) ? [{
        place, part: (spotC(one) - local) / (limitC - local),
        words: `${formatNumber(spotC(one), 1)} °C, limit ${formatNumber(limitC, 1)} °C`,
      }] : []),
    ];
  });
  return found.reduce<NearestContact | null>((best, one) => (best === null || one.part > best.part ? one : best), null);
}

function placeOf({ unit }: Unit): string {
  return `${unit.kind.replace('-', ' ')} at slot ${unit.contactSlot}`;
}

function mostCurrent({ units }: Pick<LadderSolution, 'units'>): Unit {
  return units.reduce((most, one) => (Math.abs(one.current) > Math.abs(most.current) ? one : most));
}

function hottestSpot({ units }: LadderSolution): Unit {
  return units.reduce((hottest, one) => (spotC(one) > spotC(hottest) ? one : hottest));
}

/** The largest current of a source and of a load and the warmest spot, each with its limit where it has one. */
export function contactWords(solution: LadderSolution, limits: Limits): string {
  const words = (['sources', 'loads'] as const).flatMap((name) => {
    const own = solution.units.filter(({ unit }) => (unit.kind === 'load') === (name === 'loads'));
    if (own.length === 0) return [];
    const most = mostCurrent({ units: own });
    const limit = most.unit.kind === 'load' ? limits.loadContactCurrent : most.unit.maxCurrent;
    return [`${name} at most ${formatNumber(Math.abs(most.current), 0)} A (${placeOf(most)}, `
      + `${Number.isFinite(limit) ? `limit ${formatNumber(limit, 0)} A` : 'no limit'})`];
  });
  return `Contact currents: ${words.join(', ')}. ${spotWords(solution, limits)}`;
}

function spotWords(solution: LadderSolution, { contactTemperature }: Limits): string {
  const hottest = hottestSpot(solution);
  return `Warmest contact spot: ${formatNumber(spotC(hottest), 1)} °C, ${placeOf(hottest)} (${
    Number.isFinite(contactTemperature) ? `limit ${formatNumber(contactTemperature - ZERO_CELSIUS, 1)} °C`
      : 'no limit'}).`;
}

/** The same of the other operating states in a sentence of its own, after a space. */
export function otherContactWords(others: readonly LadderSolution[]): string {
  if (others.length === 0) return '';
  const amperes = Math.max(...others.map((other) => Math.abs(mostCurrent(other).current)));
  const celsius = Math.max(...others.map((other) => spotC(hottestSpot(other))));
  return ` In ${others.length === 1 ? 'the other operating state' : `the ${others.length} other operating states`} at `
    + `the same load at most ${formatNumber(amperes, 0)} A and ${formatNumber(celsius, 1)} °C.`;
}
