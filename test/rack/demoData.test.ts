import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { conductorMass, loadRack, loadStudy } from '../../lib/rack/index.js';

const demo = (name: string): string => join(__dirname, '../../data-demo', name);

describe('the demonstration data', () => {
  for (const name of ['deep-bar-anywhere', 'deep-bar-inventory', 'plain-bar-even']) {
    it(`has a sound study ${name}`, () => {
      expect(loadStudy(demo(`${name}.json`)).study.scenarios).toBeGreaterThanOrEqual(2000);
    });
  }

  it('has a deep bar of 44 slots of 44.45 mm and about 65 kg of copper', () => {
    const rack = loadRack(demo('deep-bar.json'));
    expect([rack.slotCount, rack.pitch]).toEqual([44, 0.04445]);
    expect(Math.abs(conductorMass(rack).total - 65)).toBeLessThan(1);
  });

  it('has a plain bar of one plate per pole that is lighter', () => {
    const rack = loadRack(demo('plain-bar.json'));
    expect(rack.supply.sections.map(({ plates }) => plates.count)).toEqual([1]);
    expect(conductorMass(rack).total).toBeLessThan(30);
  });

  it('has an inventory of 40 racks and 60 contact resistances skewed to the right', () => {
    const { loads } = loadStudy(demo('deep-bar-inventory.json')).study;
    expect(loads.draw === 'inventory' && loads.racks.length).toBe(40);
    const { loadContact } = loadStudy(demo('deep-bar-anywhere.json')).study.uncertain;
    const values = loadContact?.distribution === 'measured' ? [...loadContact.values].sort((a, b) => a - b) : [];
    expect(values).toHaveLength(60);
    expect(values.reduce((sum, value) => sum + value, 0) / 60).toBeGreaterThan((values[29] + values[30]) / 2);
  });

  it('says in every JSON file and in its README that it is invented, and names a schema that exists', () => {
    for (const name of readdirSync(demo('')).filter((file) => file.endsWith('.json'))) {
      const json = JSON.parse(readFileSync(demo(name), 'utf8'));
      expect(json.note).toContain('Invented for demonstration');
      expect(() => readFileSync(demo(json.$schema))).not.toThrow();
    }
    expect(readFileSync(demo('README.md'), 'utf8')).toContain('invented');
  });
});
