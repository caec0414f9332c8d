/** Peaks against closed forms of a uniform bar, and against the steady rating at both ends of time. */
import { describe, expect, it } from 'vitest';
import { scenarioSource } from '../../lib/draw/index.js';
import {
  followLoad, NoRoomForPeak, operatingStates, RackModel, ratedPeak, TransientLadder,
} from '../../lib/ladder/index.js';
import { loadStudy } from '../../lib/rack/index.js';
import { COPPER, filmsOf, load, onePlate, plainPole, sampleRack, scenarioOf, shelf } from './sampleRack.js';

/** Constant resistance, fixed film and 1000 m between the contacts: every node far from them follows one exponential. */
const n = 41;
const metal = { ...COPPER, temperatureCoefficient: 0 };
const pole = plainPole(n, { plates: onePlate(0.05, 0.005), material: metal, emissivity: 0 });
const uniform = sampleRack({
  slotCount: n, pitch: 25, supply: pole, return: pole, films: filmsOf({ model: 'fixed', coefficient: 8 }),
  limits: { barRise: 50 }, setVoltage: 1e8, air: { inlet: 300 },
});
const placement = scenarioOf([shelf(1), load(n)]);
const AREA = 2.5e-4;
const lost = 8 * 0.11;
const constant = (metal.density * metal.specificHeat * AREA) / lost;
/** W at which the bar settles at a rise, K. */
const settlesAt = (rise: number) => 1e8 * Math.sqrt((rise * lost * AREA) / metal.resistivity20);

describe('a peak on a uniform bar', () => {
  it.each([[60, 0], [600, 0], [600, 20], [3000, 40]])('of %d s after a rise of %d K', (duration, rise) => {
    // 50 = rise + (final − rise)·(1 − exp(−t/τ))
    const final = rise + (50 - rise) / (1 - Math.exp(-duration / constant));
    const peak = ratedPeak(uniform, placement, { before: settlesAt(rise), duration }, 1e-3);
    expect(peak.power / settlesAt(final)).toBeCloseTo(1, 4);
    expect(peak.binding.limit).toBe('bar-rise');
  });

  it('that never ends is the steady rating', () => {
    const rated = new RackModel(uniform).rate(placement).power;
    const peak = ratedPeak(uniform, placement, { before: 0, duration: 40 * constant });
    expect(peak.power / rated).toBeCloseTo(1, 4);
  });

  it('that repeats far faster than the bar answers counts with its mean square', () => {
    const peak = ratedPeak(uniform, placement, { before: 0, duration: 0.5, rest: { duration: 1.5, power: 0 } }, 1e-4);
    expect(peak.power / (2 * settlesAt(50))).toBeCloseTo(1, 2);
    expect(peak.power).toBeLessThan(2 * settlesAt(50));
  });

  it.each([[300, 900], [900, 300], [2000, 4000]])('of %d s after every %d s of rest', (on, off) => {
    // At the end of each peak: final·(1 − exp(−on/τ))/(1 − exp(−(on + off)/τ)).
    const final = (50 * (1 - Math.exp(-(on + off) / constant))) / (1 - Math.exp(-on / constant));
    const peak = ratedPeak(uniform, placement, { before: 0, duration: on, rest: { duration: off, power: 0 } }, 1e-3);
    expect(peak.power / settlesAt(final)).toBeCloseTo(1, 4);
  });
});

describe('a load over time on a demonstration rack', () => {
  const { study } = loadStudy('data-demo/deep-bar-anywhere.json');
  const { scenario } = scenarioSource(study).draw(3);
  const rated = new RackModel(study.rack).rate(scenario);

  it('settles at the steady solution, from cold and from above', () => {
    const steady = new RackModel(study.rack).solutionAt(scenario, rated.power, rated.state);
    if (steady.status !== 'solved') throw new Error('expected a solution');
    for (const before of [0, 1.3 * rated.power]) {
      const history = { name: '', before, steps: [{ duration: 2e5, power: rated.power }], cycles: 1 };
      const { status, temperature, worst, points } = followLoad(new TransientLadder(study.rack), scenario, history, rated.state);
      expect(status).toBe('solved');
      temperature.forEach((t, e) => {
        const wanted = e % 2 === 0 ? steady.supplyTemperature[e >> 1] : steady.returnTemperature[e >> 1];
        expect(Math.abs(t - wanted)).toBeLessThan(5e-3);
      });
      expect(points.every((point, k) => k === 0 || point.time > points[k - 1].time)).toBe(true);
      if (before === 0) expect(worst?.utilisation).toBeCloseTo(1, 3);
    }
  });

  it('is followed alike with a finer step', () => {
    const history = {
      name: '', before: 0.7 * rated.power, cycles: 3,
      steps: [{ duration: 120, power: 1.4 * rated.power }, { duration: 240, power: 0.5 * rated.power }],
    };
    const [coarse, fine] = [0.01, 1e-4].map((tolerance) =>
      followLoad(new TransientLadder(study.rack, tolerance), scenario, history, rated.state));
    for (const [e, t] of coarse.temperature.entries()) expect(Math.abs(t - fine.temperature[e])).toBeLessThan(5e-3);
    expect(coarse.points.at(-1)?.time).toBe(1080);
  });

  it('carries more for a shorter time, and never less than steadily', () => {
    const powers = [30, 300, 3000].map((duration) => ratedPeak(study.rack, scenario, { before: 0.8 * rated.power, duration }).power);
    expect(powers[0]).toBeGreaterThanOrEqual(powers[1]);
    expect(powers[1]).toBeGreaterThan(powers[2]);
    expect(powers[2]).toBeGreaterThanOrEqual(rated.power * (1 - 1e-4));
  });

  it('is limited by what does not wait for heat, however short the peak', () => {
    const source = operatingStates(study.rack, scenario)[0];
    const peak = ratedPeak({ ...study.rack, operatingStates: ['all-in-service'] }, scenario, { before: 0, duration: 1e-3 });
    expect(['source-current', 'source-power', 'load-contact-current', 'lowest-load-voltage', 'contact-temperature', 'bar-rise',
      'bar-temperature', 'voltage-collapse']).toContain(peak.binding.limit);
    expect(source.rule).toBe('all-in-service');
  });

  it('has no room beside a load that breaks a limit itself', () => {
    expect(() => ratedPeak(study.rack, scenario, { before: 1.1 * rated.power, duration: 10 })).toThrow(NoRoomForPeak);
  });

  it('refuses times and powers that are none', () => {
    for (const wrong of [Number.NaN, -1, Number.POSITIVE_INFINITY]) {
      expect(() => ratedPeak(study.rack, scenario, { before: 0, duration: wrong })).toThrow(RangeError);
      expect(() => ratedPeak(study.rack, scenario, { before: wrong, duration: 1 })).toThrow(RangeError);
    }
  });
});
