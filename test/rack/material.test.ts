import { describe, expect, it } from 'vitest';
import { BUILT_IN_MATERIALS, parseRack, sectionArea } from '../../lib/rack/index.js';
import { applied, RACK } from './fixtures.js';

const material = (id: string) => {
  const found = BUILT_IN_MATERIALS.find((builtIn) => builtIn.id === id);
  if (found === undefined) {
    throw new Error(`no material ${id}`);
  }
  return found;
};

describe('built-in materials', () => {
  it('have copper of 58 MS/m and 0.00393 /K (IEC 60028)', () => {
    expect(1 / material('copper-iacs-100').resistivity20 / 1e6).toBeCloseTo(58, 4);
    expect(material('copper-iacs-100')).toMatchObject({ temperatureCoefficient: 0.00393, density: 8890 });
  });

  it('have copper of 56 MS/m (DIN 43671)', () => {
    expect(1 / material('copper-56').resistivity20 / 1e6).toBeCloseTo(56, 9);
  });

  it('have aluminium of 61 % and 55 % of the conductivity of standard copper', () => {
    const share = (id: string): number => material('copper-iacs-100').resistivity20 / material(id).resistivity20;
    expect(share('aluminium-61')).toBeCloseTo(0.61, 3);
    expect(share('aluminium-6101-t6')).toBeCloseTo(0.55, 3);
  });

  it('have temperature coefficients in proportion to conductivity within a metal (Dellinger 1911, from memory)', () => {
    for (const [a, b] of [['copper-iacs-100', 'copper-56'], ['aluminium-61', 'aluminium-6101-t6']]) {
      const product = (id: string): number => material(id).temperatureCoefficient * material(id).resistivity20;
      expect(Math.abs(product(a) / product(b) - 1)).toBeLessThan(2e-3);
    }
  });

  it('all name their source and say what is quoted from memory', () => {
    for (const { source } of BUILT_IN_MATERIALS) {
      expect(source).toMatch(/IEC 60028|DIN 43671|handbook/);
      expect(source).toMatch(/from memory/);
    }
  });

  it('give 27.0 µΩ/m for a bar of 1/4 × 4 inch at 99 % IACS and 20 °C (8.23 µΩ/ft, ATIS T1.311)', () => {
    const rack = parseRack(applied(RACK, [
      ['poles.both.sections[0].plates', { count: 1, depthMm: 101.6, thicknessMm: 6.35 }],
    ]));
    const [section] = rack.supply.sections;
    const microOhmPerM = (section.material.resistivity20 / 0.99 / sectionArea(section)) * 1e6;
    expect(Math.abs(microOhmPerM - 27.0)).toBeLessThan(0.05);
    expect(Math.abs(microOhmPerM * 0.3048 - 8.23)).toBeLessThan(0.005);
  });
});
