import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  InputError, parseCatalogue, parseInventory, parseMeasurements, parseRack, parseStudy,
} from '../../lib/rack/index.js';
import { LIBRARY_WORDS } from './fixtures.js';

const demo = (name: string): string => readFileSync(join(__dirname, '../../data-demo', name), 'utf8');

/** Every place in a JSON value, as a list of keys. */
function places(value: unknown): (string | number)[][] {
  if (typeof value !== 'object' || value === null) {
    return [[]];
  }
  return [[], ...Object.entries(value).flatMap(([key, inner]) => places(inner).map((path) => [key, ...path]))];
}

type Edit = 'replace' | 'remove' | 'rename';

function edited(json: unknown, path: (string | number)[], edit: Edit, junk: unknown): unknown {
  if (path.length === 0) {
    return junk;
  }
  const copy = structuredClone(json) as Record<string | number, unknown>;
  const parent = path.slice(0, -1).reduce((inner, key) => inner[key] as typeof copy, copy);
  const key = path[path.length - 1];
  const value = parent[key];
  if (Array.isArray(parent)) {
    (parent as unknown[]).splice(Number(key), 1, ...(edit === 'replace' ? [junk] : []));
  } else {
    delete parent[key];
    if (edit !== 'remove') {
      parent[edit === 'rename' ? `${key}x` : key] = edit === 'rename' ? value : junk;
    }
  }
  return copy;
}

/** No number that is not one, anywhere. */
function hasNaN(value: unknown): boolean {
  return Number.isNaN(value) || (typeof value === 'object' && value !== null && Object.values(value).some(hasNaN));
}

const junk = fc.oneof(
  fc.constantFrom<unknown>(null, true, '', ' ', 'x', 0, -1, 0.5, 1e308, -1e308, Number.NaN, Number.POSITIVE_INFINITY,
    1e-300, 2 ** 53, [], {}, [null], { a: 1 }, 'uniform', 'sources', { id: 'shelf-33' }, undefined),
  fc.jsonValue({ maxDepth: 2 }),
);

function expectSoundOrInputError(read: () => unknown): void {
  try {
    expect(hasNaN(read())).toBe(false);
  } catch (error) {
    if (!(error instanceof InputError)) {
      throw error;
    }
    expect(error.problems.length).toBeGreaterThan(0);
    expect(error.message).not.toMatch(LIBRARY_WORDS);
  }
}

const rack = parseRack(JSON.parse(demo('deep-bar.json')));
const plainRack = parseRack(JSON.parse(demo('plain-bar.json')));
const catalogue = parseCatalogue(JSON.parse(demo('equipment.json')));
const inventories = { 'inventory.csv': parseInventory(demo('inventory.csv')) };
const measurements = {
  'contacts.csv': { contactMicroOhm: parseMeasurements(demo('contacts.csv'), 'contactMicroOhm') },
};

const FILES: [name: string, read: (json: unknown) => unknown][] = [
  ['deep-bar.json', (json) => parseRack(json)],
  ['plain-bar.json', (json) => parseRack(json)],
  ['equipment.json', (json) => parseCatalogue(json)],
  ['deep-bar-anywhere.json', (json) => parseStudy(json, { rack, catalogue, measurements })],
  ['deep-bar-inventory.json', (json) => parseStudy(json, { rack, catalogue, inventories })],
  ['plain-bar-even.json', (json) => parseStudy(json, { rack: plainRack, catalogue })],
];

describe('whatever is changed in a file, it is read soundly or refused in plain words:', () => {
  for (const [name, read] of FILES) {
    it(name, () => {
      const json: unknown = JSON.parse(demo(name));
      const edit = fc.constantFrom<Edit>('replace', 'replace', 'remove', 'rename');
      fc.assert(fc.property(fc.constantFrom(...places(json)), edit, junk, (path, how, value) => {
        expectSoundOrInputError(() => read(edited(json, path, how, value)));
      }), { numRuns: 1500 });
    });
  }

  it('inventory.csv, with characters put in anywhere', () => {
    const text = demo('inventory.csv').slice(0, 400);
    const character = fc.constantFrom(',', '"', '\n', ';', '-', 'x', '9', '\0', 'é', '');
    fc.assert(fc.property(fc.nat(text.length), character, (at, put) => {
      expectSoundOrInputError(() => parseInventory(text.slice(0, at) + put + text.slice(at + 1)));
    }), { numRuns: 1500 });
  });
});
