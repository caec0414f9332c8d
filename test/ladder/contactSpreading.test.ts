/** Spreading from contacts at the front edge, against the Fourier series of a strip and sums written out by hand. */
import { describe, expect, it } from 'vitest';
import { edgePotential, patchMean, patchMiddle, RackModel } from '../../lib/ladder/index.js';
import type { Scenario } from '../../lib/draw/scenario.js';
import { battery, COPPER, load, onePlate, plainPole, sampleRack, scenarioOf, shelf, slots } from './sampleRack.js';
import { spreadingByHand } from './spreadingByHand.js';

const ORDERS = 2e5;
const series = (term: (n: number) => number) => {
  let sum = 0;
  for (let n = ORDERS; n >= 1; n--) sum += term(n) / (n * Math.PI);
  return sum;
};
/** What the series of a patch has beyond the last order, where its terms are 2/(q·nπ). */
const rest = (height: number, depth: number) => (2 * depth) / (Math.PI ** 2 * height * (ORDERS + 0.5));

describe('spreading in a strip', () => {
  it.each([0.01, 0.05, 0.1, 0.2])('is felt %d m away as the Fourier series says', (distance) => {
    const felt = series((n) => Math.exp((-n * Math.PI * distance) / 0.156));
    expect(edgePotential(distance, 0.156)).toBeCloseTo(felt, 12);
  });

  it('is not felt beyond one and a half depths', () => {
    expect(edgePotential(0.2341, 0.156)).toBe(0);
  });

  it.each([0.002, 0.01, 0.02, 0.06, 0.156])('of a patch %d m high is the series’ mean over the patch, less what the line counts', (height) => {
    const depth = 0.156;
    const mean = series((n) => {
      const q = (n * Math.PI * height) / depth;
      return (2 * (q + Math.expm1(-q))) / q ** 2;
    }) + rest(height, depth) - height / (6 * depth);
    expect(patchMean(height, depth)).toBeCloseTo(mean, height > 0.1 ? 4 : 6);
  });

  it.each([0.002, 0.01, 0.02, 0.06, 0.156])('is hottest in the middle of a patch %d m high', (height) => {
    const depth = 0.156;
    const middle = series((n) => {
      const q = (n * Math.PI * height) / depth;
      return (-2 * Math.expm1(-q / 2)) / q;
    }) + rest(height, depth) - height / (8 * depth);
    expect(patchMiddle(height, depth)).toBeCloseTo(middle, 6);
    expect(patchMiddle(height, depth)).toBeGreaterThan(patchMean(height, depth));
  });

  it('of a patch higher than the depth is that of one as high as the depth', () => {
    expect(patchMean(0.3, 0.1)).toBe(patchMean(0.1, 0.1));
    expect(patchMiddle(0.3, 0.1)).toBe(patchMiddle(0.1, 0.1));
  });
});

describe('a rack with contacts at the front edge', () => {
  const edge = { contactEdgeHeight: 0.02, contactResistance: [15e-6, 20e-6] as const };
  const rack = sampleRack({ supply: plainPole(44, { plates: onePlate(0.156, 0.012) }) });
  const scenario = scenarioOf([
    ...slots(39, 44).map((slot) => shelf(slot, edge)),
    ...slots(1, 16).map((slot) => load(slot, { ...edge, heatConductance: 0.08, heatRise: 10 })),
  ]);
  const solve = (one: Scenario, on = rack) => {
    const model = new RackModel(on);
    const rated = model.rate(one);
    const solution = model.solutionAt(one, rated.power, rated.state);
    if (solution.status !== 'solved') throw new Error('a rated power must have a solution');
    return { rated, solution };
  };

  it.each([[0.156, 0.187], [0.187, 0.1], [0.08, 0.16]])('%d m and %d m deep has the hot spots and spreading heat of the sums by hand', (front, back) => {
    const rack = sampleRack({
      supply: plainPole(44, { plates: onePlate(front, 0.012) }), return: plainPole(44, { plates: onePlate(back, 0.01) }),
    });
    const { solution } = solve(scenario, rack);
    let heat = 0;
    ([0, 1] as const).forEach((p) => {
      const byHand = spreadingByHand(rack, scenario, solution, p);
      const [mean, hottest] = p === 0 ? [solution.supplyTemperature, solution.supplyHottest]
        : [solution.returnTemperature, solution.returnHottest];
      byHand.hotSpot.forEach((kelvin, i) => {
        expect(hottest[i] - mean[i]).toBeCloseTo(kelvin, 9);
      });
      heat += byHand.heat.reduce((sum, watts) => sum + watts, 0);
    });
    expect(solution.balance.spreadingHeat).toBeCloseTo(heat, 9);
    expect(heat).toBeGreaterThan(1);
  });

  it('is rated where the hottest point of the depth meets the limit', () => {
    const { rated, solution } = solve(scenario);
    const rises = [solution.supplyHottest, solution.returnHottest].map((pole) => (
      Math.max(...pole.map((kelvin, i) => kelvin - solution.air[i]))));
    expect(Math.max(...rises)).toBeCloseTo(30, 5);
    expect(rated.limit).toBe('bar-rise');
    expect(rated.slot).toBeGreaterThan(38);
  });

  it('carries less than with contacts that grip the whole depth', () => {
    const units = scenario.units.map((unit) => ({ ...unit, contactEdgeHeight: 0 }));
    const { rated, solution } = solve({ ...scenario, units });
    expect(solution.balance.spreadingHeat).toBe(0);
    expect(solution.supplyHottest).toEqual(solution.supplyTemperature);
    expect(solve(scenario).rated.power).toBeLessThan(0.97 * rated.power);
  });

  it('counts the bar’s and the contacts’ temperature at the hottest point of the depth', () => {
    const bar = solve(scenario, sampleRack({ supply: rack.supply, limits: { barTemperature: 340 } }));
    expect(Math.max(...bar.solution.supplyHottest, ...bar.solution.returnHottest)).toBeCloseTo(340, 5);
    const contacts = solve(scenario, sampleRack({ supply: rack.supply, limits: { contactTemperature: 350 } }));
    expect(Math.max(...contacts.solution.units.flatMap(({ contactTemperature }) => contactTemperature))).toBeCloseTo(350, 5);
    const { unit, contactTemperature } = contacts.solution.units[0];
    expect(contactTemperature[0]).toBeCloseTo(contacts.solution.supplyHottest[unit.contactSlot - 1], 9);
  });

  it('spreads less where a source stands beside the load it feeds than where two sources stand together', () => {
    const single = (units: Scenario['units']) => solve(scenarioOf(units)).solution;
    const opposed = single([shelf(20, edge), load(21, edge)]);
    const apart = single([shelf(20, edge), load(40, edge)]);
    const perSquare = ({ balance, units }: typeof opposed) => balance.spreadingHeat / units[0].current ** 2;
    expect(perSquare(opposed)).toBeLessThan(0.85 * perSquare(apart));
  });

  it('leaves a source that carries nothing without spreading', () => {
    const one = scenarioOf([shelf(40, edge), battery(30, edge), load(5, edge)]);
    const { solution } = solve(one, sampleRack({
      supply: plainPole(44, { material: { ...COPPER, temperatureCoefficient: 0 } }), exhaustRise: 0,
    } as object));
    expect(solution.supplyHottest[29]).toBeCloseTo(solution.supplyTemperature[29], 9);
  });

  it('agrees between the joint and the bracketed search', () => {
    const model = new RackModel(rack);
    const rated = model.rate(scenario);
    for (const [factor, fits] of [[1 - 1e-6, true], [1 + 1e-6, false]] as const) {
      const at = model.solutionAt(scenario, factor * rated.power, rated.state);
      expect(at.status === 'solved' && at.utilisation <= 1).toBe(fits);
    }
  });
});
