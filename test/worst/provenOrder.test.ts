/** The proven order against every order. */
import { describe, expect, it } from 'vitest';
import type { PlacedUnit } from '../../lib/draw/index.js';
import { RackModel } from '../../lib/ladder/index.js';
import { feedEnd, worstOrder } from '../../lib/worst/provenOrder.js';
import { load, sampleRack, scenarioOf, shelf } from '../ladder/sampleRack.js';

const POWERS = [0.4, 1, 1.7, 2.2, 3, 4.1, 5.6];
const SLOTS = [5, 6, 9, 12, 13, 17, 20];
const rack = sampleRack({
  slotCount: 20, operatingStates: ['all-in-service', 'one-source-out'], limits: { barRise: 30, lowestLoadVoltage: 48 },
});
const sources = [shelf(1, { contactResistance: [2e-5, 2e-5] }), shelf(2)];
const placed = (powers: readonly number[], options = {}): PlacedUnit[] =>
  [...sources, ...powers.map((power, k) => load(SLOTS[k], { power, ...options }))];

function* orders<T>(list: readonly T[]): Generator<T[]> {
  if (list.length === 0) yield [];
  for (let at = 0; at < list.length; at++) {
    for (const rest of orders([...list.slice(0, at), ...list.slice(at + 1)])) yield [list[at], ...rest];
  }
}

describe('the worst order on a bar fed from one end', () => {
  const model = new RackModel(rack);
  const rate = (units: readonly PlacedUnit[]) => model.rate(scenarioOf(units)).power;

  it('is ascending away from the feed: none of the 7! orders carries less', () => {
    const worst = worstOrder(rack, placed([...POWERS].reverse()));
    expect(worst.filter(({ kind }) => kind === 'load').map(({ power }) => power)).toEqual(POWERS);
    const lowest = rate(worst);
    let count = 0;
    let higher = 0;
    for (const order of orders(POWERS)) {
      const power = rate(placed(order));
      expect(power).toBeGreaterThanOrEqual(lowest * (1 - 1e-7));
      if (power > lowest * 1.01) higher++;
      count++;
    }
    expect(count).toBe(5040);
    expect(higher).toBeGreaterThan(4000);
  });

  it('is worst for every current, voltage and temperature at once', () => {
    const power = rate(worstOrder(rack, placed(POWERS)));
    const solve = (units: readonly PlacedUnit[]) => {
      const scenario = scenarioOf(units);
      const solution = model.solutionAt(scenario, power, model.states(scenario)[0]);
      if (solution.status !== 'solved') throw new Error('must have a solution');
      return solution;
    };
    const worst = solve(placed(POWERS));
    for (const order of [[...POWERS].reverse(), [3, 1, 5.6, 0.4, 2.2, 4.1, 1.7]]) {
      const other = solve(placed(order));
      other.segmentCurrent.forEach((current, i) => {
        expect(worst.segmentCurrent[i]).toBeGreaterThanOrEqual(current - 1e-6);
        expect(worst.voltage[i + 1]).toBeLessThanOrEqual(other.voltage[i + 1] + 1e-9);
        expect(worst.supplyTemperature[i]).toBeGreaterThanOrEqual(other.supplyTemperature[i] - 1e-6);
      });
    }
  });

  it('is fed from the top as well', () => {
    const top = [shelf(19), shelf(20), ...POWERS.map((power, k) => load(SLOTS[k] - 4, { power }))];
    expect(feedEnd(rack, top)).toBe('top');
    expect(worstOrder(rack, top).filter(({ kind }) => kind === 'load').map(({ power }) => power)).toEqual([...POWERS].reverse());
  });

  it('is not claimed where a contact heats the bar, and there it is not the worst', () => {
    const hot = (ohm: number) => ({ contactResistance: [ohm, ohm] as const });
    const long = sampleRack({ slotCount: 40 });
    const units = (powers: readonly number[]) => [
      shelf(1, hot(5e-5)), shelf(2, hot(5e-5)),
      ...powers.map((power, k) => load([3, 5, 9, 14, 19, 24, 29][k], { power, ...hot(2e-4) })),
    ];
    expect(() => worstOrder(long, units(POWERS))).toThrow(RangeError);
    const rateLong = new RackModel(long);
    const ascending = rateLong.rate(scenarioOf(units(POWERS))).power;
    const largestAtFeed = rateLong.rate(scenarioOf(units([5.6, 0.4, 1, 1.7, 2.2, 3, 4.1]))).power;
    expect(largestAtFeed).toBeLessThan(0.9 * ascending);
  });
});
