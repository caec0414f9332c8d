/** Adiabatic heating: the limit of constant resistance, ends of the range, and what is refused. */
import { describe, expect, it } from 'vitest';
import { adiabaticCurrent, adiabaticFactor, adiabaticTemperature } from '../../lib/ladder/index.js';
import { COPPER } from './sampleRack.js';

const steady = { ...COPPER, temperatureCoefficient: 0 };
const HEAT = 8890 * 385;
const AREA = 1e-4;

describe('adiabatic heating of a metal whose resistance does not change', () => {
  it('takes c·d·ΔT/ρ of ∫I²dt per squared area', () => {
    const wanted = Math.sqrt((HEAT * 80) / 1.724138e-8);
    expect(adiabaticFactor(steady, 340, 420) / wanted).toBeCloseTo(1, 12);
    expect(adiabaticCurrent(steady, AREA, 340, 420, 4) / ((wanted * AREA) / 2)).toBeCloseTo(1, 12);
    expect(adiabaticTemperature(steady, AREA, 340, (wanted * AREA) / 2, 4)).toBeCloseTo(420, 9);
    expect(adiabaticTemperature(steady, AREA, 340, 2000, 3)).toBeCloseTo(340 + ((2000 / AREA) ** 2 * 3 * 1.724138e-8) / HEAT, 9);
  });

  it('is the limit of one whose resistance hardly changes', () => {
    const nearly = { ...COPPER, temperatureCoefficient: 1e-7 };
    expect(adiabaticFactor(nearly, 340, 420) / adiabaticFactor(steady, 340, 420)).toBeCloseTo(1, 4);
    expect(adiabaticTemperature(nearly, AREA, 340, 5000, 3)).toBeCloseTo(adiabaticTemperature(steady, AREA, 340, 5000, 3), 2);
  });
});

describe('adiabatic heating', () => {
  it('solves c·d·dT/dt = (I/A)²·ρ(T), stepped by hand', () => {
    let t = 350;
    const steps = 20_000;
    const rate = (at: number) => ((8000 / AREA) ** 2 * 1.724138e-8 * (1 + 0.00393 * (at - 293.15))) / HEAT;
    for (let k = 0; k < steps; k++) t += (2 / steps) * rate(t + (1 / steps) * rate(t));
    expect(adiabaticTemperature(COPPER, AREA, 350, 8000, 2)).toBeCloseTo(t, 4);
    expect(adiabaticCurrent(COPPER, AREA, 350, t, 2)).toBeCloseTo(8000, 3);
  });

  it('needs no current for no rise, and none or no time warms nothing', () => {
    expect(adiabaticFactor(COPPER, 350, 350)).toBe(0);
    expect(adiabaticTemperature(COPPER, AREA, 350, 0, 5)).toBeCloseTo(350, 9);
    expect(adiabaticTemperature(COPPER, AREA, 350, 9000, 0)).toBeCloseTo(350, 9);
  });

  it('refuses temperatures that fall or are none', () => {
    for (const metal of [COPPER, steady]) {
      for (const [start, end] of [[350, 349.9], [350, Number.POSITIVE_INFINITY], [350, Number.NaN], [Number.NaN, 350]]) {
        expect(() => adiabaticFactor(metal, start, end)).toThrow(`adiabatic heating from ${start} K to ${end} K: must not fall`);
      }
    }
  });

  it('refuses temperatures at which the metal would have no resistance', () => {
    const vanishes = 293.15 - 1 / 0.00393;
    expect(() => adiabaticFactor(COPPER, vanishes - 1, 350)).toThrow(/K: no resistance is left there/);
    expect(() => adiabaticTemperature(COPPER, AREA, 30, 100, 1)).toThrow('30 K: no resistance is left there');
    expect(() => adiabaticFactor({ ...COPPER, temperatureCoefficient: 1 }, 292.15, 350)).toThrow('292.15 K: no resistance');
    expect(adiabaticFactor(COPPER, vanishes + 1, 350)).toBeGreaterThan(0);
  });

  it('refuses areas and times that are not above 0', () => {
    for (const [area, seconds] of [[0, 1], [-1, 1], [AREA, 0], [AREA, -1], [Number.NaN, 1], [Number.POSITIVE_INFINITY, 1], [1, 1e-310]]) {
      expect(() => adiabaticCurrent(COPPER, area, 350, 400, seconds)).toThrow(`area ${area} m² and time ${seconds} s: must be above 0`);
    }
    for (const [area, seconds] of [[0, 1], [-1, 1], [AREA, -1], [AREA, Number.NaN]]) {
      expect(() => adiabaticTemperature(COPPER, area, 350, 100, seconds)).toThrow(`area ${area} m² and time ${seconds} s: area must be above 0`);
    }
    expect(() => adiabaticTemperature(COPPER, AREA, 350, 1e9, 100)).toThrow(RangeError);
    expect(() => adiabaticTemperature(COPPER, AREA, 350, 1e9, 100)).toThrow('1000000000 A for 100 s heat the conductor beyond any number');
  });
});
