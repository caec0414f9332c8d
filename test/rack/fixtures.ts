import { expect } from 'vitest';
import {
  type Catalogue, InputError, type InputProblem, parseCatalogue, parseRack, type Rack,
} from '../../lib/rack/index.js';

type Json = Record<string, unknown>;

/** A small sound rack file: ten slots, one plate per pole. */
export const RACK: Json = {
  format: 'slotcast-rack/1',
  name: 'test rack',
  slots: { count: 10, pitchMm: 50 },
  poles: {
    both: {
      sections: [
        {
          fromSlot: 1,
          toSlot: 10,
          material: 'copper-iacs-100',
          plates: { count: 1, depthMm: 100, thicknessMm: 5 },
          emissivity: 0.4,
        },
      ],
    },
  },
  film: { model: 'still-air' },
  air: { inletC: 25 },
  limits: { barRiseK: 30 },
  feed: { setV: 50, sharing: 'equal' },
  operatingStates: ['all-in-service'],
};

/** A small sound catalogue. */
export const CATALOGUE: Json = {
  format: 'slotcast-catalogue/1',
  name: 'test catalogue',
  sources: [
    {
      id: 'shelf',
      name: 'Shelf',
      kind: 'power-shelf',
      heightSlots: 2,
      contactSlot: 1,
      maxCurrentA: 700,
      maxPowerKw: 33,
      contact: { microOhm: 20, thermalResistanceKPerW: 2, grip: { edgeHeightMm: 20 } },
      massKg: 40,
    },
    {
      id: 'battery',
      name: 'Battery',
      kind: 'battery-shelf',
      heightSlots: 1,
      contactSlot: 1,
      contact: { microOhm: 20, thermalResistanceKPerW: 2, grip: { edgeHeightMm: 20 } },
      massKg: 50,
    },
  ],
  loads: [
    {
      id: 'node',
      name: 'Node',
      heightSlots: 1,
      contactSlot: 1,
      powerKw: { min: 1, max: 2 },
      contact: { microOhm: 100, thermalResistanceKPerW: 3, grip: { edgeHeightMm: 20 } },
      massKg: 20,
    },
    {
      id: 'tall',
      name: 'Tall node',
      heightSlots: 3,
      contactSlot: 2,
      powerKw: { min: 1, max: 6 },
      contact: { microOhm: 50, thermalResistanceKPerW: 3, grip: 'whole-depth', heatShare: 0.5 },
      massKg: 30,
    },
  ],
};

/** A small sound study of the two. */
export const STUDY: Json = {
  format: 'slotcast-study/1',
  name: 'test study',
  rack: 'rack.json',
  catalogue: 'catalogue.json',
  seed: 1,
  scenarios: 100,
  sources: { units: [{ id: 'shelf', count: 2 }], positions: { draw: 'uniform' } },
  loads: { draw: 'even', id: 'node', count: { min: 1, max: 6 }, totalPowerKw: 20 },
  percentilesPercent: [1, 50],
};

export const rack = (): Rack => parseRack(RACK);
export const catalogue = (): Catalogue => parseCatalogue(CATALOGUE);

/** Stands for a key to be removed. */
export const ABSENT = Symbol('absent');

/** A copy with the value at a path (`a.b[0].c`) replaced, added or, with `ABSENT`, removed. */
export function changed(base: Json, path: string, value: unknown): Json {
  const copy = structuredClone(base);
  const keys = path.split(/[.[\]]+/).filter((key) => key !== '');
  const last = keys.pop() as string;
  const parent = keys.reduce<Json>((inner, key) => inner[key] as Json, copy);
  if (value === ABSENT) {
    delete parent[last];
  } else {
    parent[last] = value;
  }
  return copy;
}

/** All problems of an input that must not pass. */
export function problemsOf(read: () => unknown): readonly InputProblem[] {
  try {
    read();
  } catch (error) {
    expect(error).toBeInstanceOf(InputError);
    return (error as InputError).problems;
  }
  throw new Error('the input was accepted');
}

/** The path of a problem, or line and column where it has none. */
export function whereOf({ path, line, column }: InputProblem): string {
  return path === '' && line !== undefined ? `line ${line}, column ${column}` : path;
}

/** A bad input: what is changed, and the one problem that must be reported. */
export interface BadCase {
  readonly says: string;
  readonly change: readonly (readonly [path: string, value: unknown])[];
  readonly path: string;
  readonly found: string | RegExp;
  readonly allowed: string | RegExp;
}

/** Words of the schema library, which mean nothing to the reader of a message. */
export const LIBRARY_WORDS = /invalid|\bexpected (string|number|object|int)|received|unrecognized|discriminator/i;

/** Expects exactly the one problem. */
export function expectOne(
  problems: readonly InputProblem[], file: string, expected: Omit<BadCase, 'says' | 'change'>,
): void {
  expect(problems.map(({ path, found, allowed }) => `${path}: ${found}; ${allowed}`)).toHaveLength(1);
  const [problem] = problems;
  expect(problem.file).toBe(file);
  expect(whereOf(problem)).toBe(expected.path);
  const match = (text: string, wanted: string | RegExp): void => {
    if (typeof wanted === 'string') {
      expect(text).toBe(wanted);
    } else {
      expect(text).toMatch(wanted);
    }
  };
  match(problem.found, expected.found);
  match(problem.allowed, expected.allowed);
  expect(problem.found + problem.allowed).not.toMatch(LIBRARY_WORDS);
}

export const applied = (base: Json, change: BadCase['change']): Json =>
  change.reduce((json, [path, value]) => changed(json, path, value), base);
