import { describe, expect, it } from 'vitest';
import { parseCatalogue } from '../../lib/rack/index.js';
import { ABSENT, applied, type BadCase, CATALOGUE, changed, expectOne, problemsOf } from './fixtures.js';

describe('a sound catalogue', () => {
  it('is read in SI: micro-ohms, milliohms and kilowatts to ohms and watts', () => {
    const { sources, loads } = parseCatalogue(changed(CATALOGUE, 'sources[0].droopMilliOhm', 0.8));
    expect(sources[0]).toEqual({
      id: 'shelf',
      name: 'Shelf',
      kind: 'power-shelf',
      heightSlots: 2,
      contactSlot: 1,
      maxCurrent: 700,
      maxPower: 33000,
      contact: { resistance: 20e-6, thermalResistance: 2, heatShare: 1, edgeHeight: 0.02 },
      heatPath: { conductance: 0, rise: 0 },
      droopResistance: 0.0008,
      mass: 40,
    });
    expect(loads[1]).toMatchObject({
      power: { min: 1000, max: 6000 }, mixWeight: 1, contact: { resistance: 50e-6, heatShare: 0.5, edgeHeight: 0 },
    });
  });

  it('leaves sources without a limit unlimited and without droop at 0', () => {
    expect(parseCatalogue(CATALOGUE).sources[1]).toMatchObject({
      maxCurrent: Number.POSITIVE_INFINITY, maxPower: Number.POSITIVE_INFINITY, droopResistance: 0,
    });
  });

  it('may describe a heat path between unit and bar', () => {
    const heatPath = { conductanceWPerK: 0.1, riseK: -2 };
    expect(parseCatalogue(changed(CATALOGUE, 'loads[0].heatPath', heatPath)).loads[0].heatPath)
      .toEqual({ conductance: 0.1, rise: -2 });
  });
});

const BAD: BadCase[] = [
  {
    says: 'a contact lies above its unit',
    change: [['loads[1].contactSlot', 4]],
    path: 'loads[1].contactSlot', found: '4', allowed: 'give 1 to 3: the unit is 3 slots high',
  },
  {
    says: 'a load has the id of a source',
    change: [['loads[0].id', 'shelf']],
    path: 'loads[0].id', found: '"shelf", as in sources[0]', allowed: 'give every source and load an id of its own',
  },
  {
    says: 'two sources have one id',
    change: [['sources[1].id', 'shelf']],
    path: 'sources[1].id', found: '"shelf", as in sources[0]', allowed: /an id of its own/,
  },
  {
    says: 'a power range is upside down',
    change: [['loads[0].powerKw', { min: 3, max: 2 }]],
    path: 'loads[0].powerKw.max', found: '2', allowed: 'give at least "min" (3), in kW',
  },
  {
    says: 'a contact resistance is negative',
    change: [['loads[0].contact.microOhm', -5]],
    path: 'loads[0].contact.microOhm', found: '-5',
    allowed: 'give a number of at least 0 (contact resistance of one pole, µΩ)',
  },
  {
    says: 'a contact resistance is absent',
    change: [['sources[0].contact.microOhm', ABSENT]],
    path: 'sources[0].contact.microOhm', found: 'nothing', allowed: /contact resistance of one pole, µΩ/,
  },
  {
    says: 'a droop resistance is zero',
    change: [['sources[0].droopMilliOhm', 0]],
    path: 'sources[0].droopMilliOhm', found: '0', allowed: /^give a number above 0 .*mΩ/,
  },
  {
    says: 'it does not say which part of the bar a contact grips',
    change: [['sources[0].contact.grip', ABSENT]],
    path: 'sources[0].contact.grip', found: 'nothing', allowed: /give \{"edgeHeightMm": height of the contact\}, or "whole-depth"/,
  },
  {
    says: 'a contact at the front edge has no height',
    change: [['loads[0].contact.grip', { edgeHeightMm: 0 }]],
    path: 'loads[0].contact.grip.edgeHeightMm', found: '0', allowed: /^give a number above 0/,
  },
  {
    says: 'a heat share is more than all',
    change: [['loads[0].contact.heatShare', 1.1]],
    path: 'loads[0].contact.heatShare', found: '1.1', allowed: /^give a number from 0 to 1/,
  },
  {
    says: 'a kind of source is unknown',
    change: [['sources[0].kind', 'generator']],
    path: 'sources[0].kind', found: '"generator"', allowed: /^give one of "power-shelf", "battery-shelf"/,
  },
  {
    says: 'there are no loads',
    change: [['loads', []]],
    path: 'loads', found: 'an empty list', allowed: /^give a list of at least 1/,
  },
];

describe('a catalogue is refused with exactly one message where', () => {
  for (const { says, change, ...expected } of BAD) {
    it(says, () => {
      expectOne(problemsOf(() => parseCatalogue(applied(CATALOGUE, change), 'eq.json')), 'eq.json', expected);
    });
  }
});
