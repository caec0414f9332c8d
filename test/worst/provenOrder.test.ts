/** The proven order against every order. */
import { describe, expect, it } from 'vitest';
import type { PlacedUnit } from '../../lib/draw/index.js';
import { RackModel } from '../../lib/ladder/index.js';
import { feedEnd, heatByCurrentAlone, worstOrder } from '../../lib/worst/provenOrder.js';
import { load, plainPole, sampleRack, scenarioOf, shelf } from '../ladder/sampleRack.js';

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

  it('is not claimed where a frame takes more of the return current of some places than of others', () => {
    const bond = (slot: number) => ({ slot, resistance: 1e-6, maxCurrent: Number.POSITIVE_INFINITY });
    const tied = sampleRack({
      slotCount: 12, pitch: 0.1, return: plainPole(12, { plates: { count: 1, depth: 0.06, thickness: 0.005, gap: 0 } }),
      frame: { resistancePerMetre: 1e-6, bonds: [bond(1), bond(12)] },
    });
    const units = (powers: readonly number[]) => [shelf(1), ...powers.map((power, k) => load([2, 7, 12][k], { power }))];
    expect(() => worstOrder(tied, units([5, 1, 1]))).toThrow(/a frame/);
    const model = new RackModel(tied);
    const [ascending, strongInTheMiddle] = [[1, 1, 5], [1, 5, 1]].map((powers) => model.rate(scenarioOf(units(powers))).power);
    expect(strongInTheMiddle).toBeLessThan(0.6 * ascending);
  });

  it('is not claimed for loads that differ in more than their power, or are not fed from one end', () => {
    const refused = (units: readonly PlacedUnit[]) => expect(() => worstOrder(rack, units)).toThrow(/no order is proven/);
    const one = load(5, { power: 1 });
    for (const other of [
      { equipment: 'another' }, { heightSlots: 2 }, { contactResistance: [1e-5, 0] as const }, { contactResistance: [0, 1e-5] as const },
    ]) refused([...sources, one, load(7, { power: 2, contactHeatShare: 0, ...other })]);
    refused([shelf(1), shelf(3), one, load(7)]);
    refused([shelf(10), one, load(7)]);
  });

  it('gives units in order of slot, whatever order they come in', () => {
    const placedAs = (units: readonly PlacedUnit[]) => worstOrder(rack, units).map(({ bottomSlot, kind, power }) => (
      kind === 'load' ? [bottomSlot, power] : [bottomSlot]));
    const loads = [load(9, { power: 2 }), load(5, { power: 4 }), load(7, { power: 1 })];
    expect(placedAs([...loads, shelf(2), shelf(1)])).toEqual([[1], [2], [5, 1], [7, 2], [9, 4]]);
    expect(placedAs([shelf(20), ...loads, shelf(19)])).toEqual([[5, 4], [7, 2], [9, 1], [19], [20]]);
  });

  it('needs sources without a slot beyond them or between', () => {
    const tall = (slot: number) => shelf(slot, { heightSlots: 2 });
    expect(feedEnd(rack, [tall(1), shelf(3), load(9)])).toBe('bottom');
    expect(feedEnd(rack, [tall(2), shelf(1), load(9)])).toBe('bottom');
    expect(feedEnd(rack, [tall(19), shelf(18), load(9)])).toBe('top');
    for (const units of [[tall(2), shelf(4)], [tall(1), shelf(4)], [tall(18), shelf(17)], [tall(19), shelf(17)], [shelf(1), shelf(20)]]) {
      expect(feedEnd(rack, [...units, load(9)])).toBeNull();
    }
  });

  it('needs loads that bring no heat of their own to the bar; what sources bring does not count', () => {
    const alone = (options: Parameters<typeof load>[1], of = rack) => heatByCurrentAlone(of, [...sources, load(5), load(6, options)]);
    expect(alone({})).toBe(true);
    expect(alone({ contactHeatShare: 0, contactResistance: [1e-4, 1e-4] })).toBe(true);
    expect(alone({ contactResistance: [1e-4, 0] })).toBe(false);
    expect(alone({ contactResistance: [0, 1e-4] })).toBe(false);
    expect(alone({ contactEdgeHeight: 0.01 })).toBe(false);
    expect(alone({ heatConductance: 0.1 })).toBe(false);
    expect(alone({}, sampleRack({ slotCount: 20, air: { exhaustRise: 1e-4 } }))).toBe(false);
  });
});
