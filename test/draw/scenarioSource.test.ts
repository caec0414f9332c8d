import { describe, expect, it } from 'vitest';
import { brokenRules, positionsKept, unitsCollide } from '../../lib/draw/brokenRules.js';
import { enumerateSourceArrangements } from '../../lib/draw/enumerateSourceArrangements.js';
import { PlacementNotFound } from '../../lib/draw/errors.js';
import { randomStream } from '../../lib/draw/randomStream.js';
import { NOMINAL_BUILD } from '../../lib/draw/scenario.js';
import { scenarioSource } from '../../lib/draw/scenarioSource.js';
import type { LoadsDraw, Rule, SourcePositions, Study, Uncertain } from '../../lib/rack/studyModel.js';
import { correlation, kolmogorovScore, POOR_DISTANCE } from './goodnessOfFit.js';
import { sampleStudy } from './sampleStudy.js';
import { loadsOf, sourcesOf } from './scenarioHelpers.js';

const observed = Array.from({ length: 12 }, (_, rack) => ({
  rack: `rack ${rack}`,
  units: Array.from({ length: 8 }, (__, at) => {
    const equipment = at % 3 === 2 ? 'double' : 'node';
    return {
      equipment,
      bottomSlot: 1 + 3 * at + (rack % 4),
      heightSlots: at % 3 === 2 ? 2 : 1,
      power: 300 + 100 * ((at + rack) % 6),
    };
  }),
}));

const loadDraws: Record<string, LoadsDraw> = {
  fixed: {
    draw: 'fixed',
    units: [
      { id: 'node', bottomSlot: 3, power: 700 },
      { id: 'double', bottomSlot: 20, power: 900 },
    ],
  },
  even: { draw: 'even', id: 'node', count: { min: 4, max: 8 }, totalPower: 5000 },
  'even, two slots': { draw: 'even', id: 'double', count: { min: 2, max: 4 }, totalPower: 5000 },
  'random split': { draw: 'random-split', id: 'node', count: { min: 6, max: 8 }, totalPower: 5000, concentration: 2 },
  'random split, two slots': {
    draw: 'random-split',
    id: 'double',
    count: { min: 4, max: 4 },
    totalPower: 5000,
    concentration: 0.5,
  },
  catalogue: { draw: 'catalogue', totalPower: 9000, fill: 'anywhere' },
  'catalogue, bottom up': { draw: 'catalogue', totalPower: 9000, fill: 'bottom-up' },
  'catalogue, top down': { draw: 'catalogue', totalPower: 9000, fill: 'top-down' },
  'all or nothing': { draw: 'all-or-nothing', id: 'node', cap: 1000, chanceFull: 0.4 },
  'all or nothing, two slots': { draw: 'all-or-nothing', id: 'double', cap: 1800, chanceFull: 0.4 },
  'inventory, observed': { draw: 'inventory', racks: observed, places: 'observed' },
  'inventory, shuffled': { draw: 'inventory', racks: observed, places: 'shuffled' },
};

/** Sets of rules that leave room for every draw above, so that each rule meets each draw. */
const ruleSets: Rule[][] = [
  [
    { rule: 'only-in-band', units: { id: 'shelf' }, fromSlot: 2, toSlot: 27 },
    { rule: 'keep-out', units: 'loads', fromSlot: 9, toSlot: 10 },
    { rule: 'not-next-to', units: 'sources', neighbours: 'loads' },
  ],
  [
    { rule: 'max-power-per-slot', power: 1300 },
    { rule: 'max-power-in-band', fromSlot: 1, toSlot: 12, power: 2600 },
    { rule: 'max-power-in-band', fromSlot: 11, toSlot: 16, power: 1900 },
    { rule: 'min-free-slots', count: 12 },
  ],
  [
    { rule: 'apart', units: 'loads', slotsBetween: 1 },
    { rule: 'apart', units: 'sources', slotsBetween: 2 },
    { rule: 'keep-out', units: 'battery-shelves', fromSlot: 6, toSlot: 12 },
  ],
  [
    { rule: 'together', units: 'power-shelves' },
    { rule: 'not-next-to', units: { id: 'double' }, neighbours: 'battery-shelves' },
    { rule: 'only-in-band', units: 'loads', fromSlot: 2, toSlot: 29 },
  ],
];
const blockOfLoads: Rule[] = [
  { rule: 'together', units: 'loads' },
  { rule: 'min-free-slots', count: 8 },
];

const positions: SourcePositions[] = [
  { draw: 'uniform' },
  { draw: 'groups', sizes: [1, 2] },
  {
    draw: 'bands',
    bands: [
      { fromSlot: 1, toSlot: 14, count: 1 },
      { fromSlot: 15, toSlot: 30, count: 2 },
    ],
  },
];

function rackStudy(loads: LoadsDraw, rules: Rule[], where: SourcePositions, changes: Partial<Study> = {}): Study {
  const units = [
    { id: 'shelf', count: 2 },
    { id: 'battery', count: 1 },
  ];
  return sampleStudy(30, { sources: { units, positions: where }, loads, rules, ...changes });
}

const uncertain: Uncertain = {
  perScenario: {
    filmFactor: { distribution: 'uniform', min: 0.8, max: 1.2 },
    inlet: { distribution: 'uniform', min: 290, max: 310 },
  },
  sourceContact: { distribution: 'lognormal', median: 1e-5, geometricSd: 1.5, min: 0, max: 1 },
  loadContact: { distribution: 'uniform', min: 1e-5, max: 9e-5 },
  sharingWeight: { distribution: 'normal', mean: 1, sd: 0.05, min: 0.8, max: 1.2 },
};

describe('every rule, position and unit holds in every scenario (more than 100,000 in all)', () => {
  const kinds = Object.keys(loadDraws);
  it.each(kinds)('%s', (kind) => {
    let checked = 0;
    for (const rules of kind === 'fixed' ? ruleSets : [...ruleSets, blockOfLoads]) {
      const where =
        rules === ruleSets[2] || rules === ruleSets[3] ? positions.filter(({ draw }) => draw !== 'groups') : positions;
      for (const position of where) {
        const source = scenarioSource(rackStudy(loadDraws[kind], rules, position));
        const draws = 800;
        for (let index = 0; index < draws; index++) {
          const { units } = source.draw(index).scenario;
          if (brokenRules(rules, 30, units).length > 0)
            throw new Error(`scenario ${index} breaks a rule: ${JSON.stringify(units)}`);
          if (unitsCollide(30, units)) throw new Error(`scenario ${index}: units collide`);
          if (!positionsKept(position, units)) throw new Error(`scenario ${index}: positions not kept`);
          if (sourcesOf(units).length !== 3 || loadsOf(units).length === 0)
            throw new Error(`scenario ${index}: units missing`);
          for (let at = 1; at < units.length; at++)
            if (units[at].bottomSlot <= units[at - 1].bottomSlot) throw new Error('order');
          checked++;
        }
      }
    }
    expect(checked).toBeGreaterThanOrEqual(8000);
  });
});

describe('a scenario', () => {
  it.each(Object.keys(loadDraws))('is the same in any order and alone: %s', (kind) => {
    const study = rackStudy(loadDraws[kind], ruleSets[1], positions[0], {
      uncertain,
      sampling: { design: 'latin-hypercube', size: 16 },
    });
    const source = scenarioSource(study);
    const forward = Array.from({ length: 60 }, (_, index) => source.draw(index));
    for (let index = 59; index >= 0; index -= 3) expect(source.draw(index)).toEqual(forward[index]);
    const other = scenarioSource(study);
    for (const index of [41, 7, 41]) expect(other.draw(index)).toEqual(forward[index]);
    expect(scenarioSource(study).draw(23)).toEqual(forward[23]);
    expect(forward[5].scenario.index).toBe(5);
  });

  it('differs with the seed', () => {
    const study = rackStudy(loadDraws.even, [], positions[0]);
    expect(scenarioSource({ ...study, seed: 'other' }).draw(0)).not.toEqual(scenarioSource(study).draw(0));
  });

  it('keeps its placement when only the uncertain quantities change', () => {
    const certain = scenarioSource(rackStudy(loadDraws.catalogue, [], positions[0]));
    const study = rackStudy(loadDraws.catalogue, [], positions[0], { uncertain });
    for (const sampling of [{ design: 'plain' }, { design: 'latin-hypercube', size: 20 }] as const) {
      const varied = scenarioSource({ ...study, sampling });
      for (let index = 0; index < 50; index++) {
        const places = (units: typeof a): unknown =>
          units.map(({ equipment, bottomSlot, power }) => ({ equipment, bottomSlot, power }));
        const a = certain.draw(index).scenario.units;
        expect(places(varied.draw(index).scenario.units)).toEqual(places(a));
      }
    }
  });

  it('carries what the catalogue says of each unit', () => {
    const { scenario, unitsLeftOut } = scenarioSource(
      rackStudy(loadDraws.fixed, [], { draw: 'fixed', units: [{ id: 'battery', bottomSlot: 5 }] }),
    ).draw(3);
    expect(unitsLeftOut).toBe(0);
    expect(scenario).toEqual({
      index: 3,
      build: NOMINAL_BUILD,
      units: [
        {
          kind: 'load',
          equipment: 'node',
          bottomSlot: 3,
          heightSlots: 1,
          contactSlot: 3,
          power: 700,
          contactResistance: [4e-5, 4e-5],
          contactThermalResistance: 0.2,
          contactHeatShare: 1,
          contactEdgeHeight: 0.02,
          heatConductance: 0.5,
          heatRise: 10,
          sharingWeight: 1,
          maxCurrent: Infinity,
          maxPower: Infinity,
          droopResistance: 0,
        },
        {
          kind: 'battery-shelf',
          equipment: 'battery',
          bottomSlot: 5,
          heightSlots: 3,
          contactSlot: 5,
          power: 0,
          contactResistance: [1e-5, 1e-5],
          contactThermalResistance: 0.1,
          contactHeatShare: 1,
          contactEdgeHeight: 0.02,
          heatConductance: 0,
          heatRise: 0,
          sharingWeight: 1,
          maxCurrent: 500,
          maxPower: 25_000,
          droopResistance: 1e-3,
        },
        {
          kind: 'load',
          equipment: 'double',
          bottomSlot: 20,
          heightSlots: 2,
          contactSlot: 21,
          power: 900,
          contactResistance: [4e-5, 4e-5],
          contactThermalResistance: 0.2,
          contactHeatShare: 1,
          contactEdgeHeight: 0.02,
          heatConductance: 0.5,
          heatRise: 10,
          sharingWeight: 1,
          maxCurrent: Infinity,
          maxPower: Infinity,
          droopResistance: 0,
        },
      ],
    });
  });

  it('says how many observed units found no place', () => {
    const racks = [
      {
        rack: 'full',
        units: Array.from({ length: 30 }, (_, at) => ({
          equipment: 'node',
          bottomSlot: at + 1,
          heightSlots: 1,
          power: 100,
        })),
      },
    ];
    const source = scenarioSource(rackStudy({ draw: 'inventory', racks, places: 'observed' }, [], positions[0]));
    expect(source.draw(0).unitsLeftOut).toBe(5);
    expect(loadsOf(source.draw(0).scenario.units)).toHaveLength(25);
  });
});

describe('contacts and sharing weights', () => {
  const source = scenarioSource(rackStudy(loadDraws.even, [], positions[0], { uncertain }));
  const scenarios = Array.from({ length: 3000 }, (_, index) => source.draw(index).scenario);

  it('are drawn for each contact and each pole by itself', () => {
    const pairs = scenarios.map(({ units }) => [
      loadsOf(units)[0].contactResistance,
      loadsOf(units)[1].contactResistance,
    ]);
    const columns = [0, 1].flatMap((unit) => [0, 1].map((pole) => pairs.map((pair) => pair[unit][pole])));
    for (const column of columns) expect(kolmogorovScore(column, (x) => (x - 1e-5) / 8e-5)).toBeLessThan(POOR_DISTANCE);
    for (const [i, a] of columns.entries()) {
      for (const b of columns.slice(i + 1)) expect(Math.abs(correlation(a, b))).toBeLessThan(4.4 / Math.sqrt(3000));
    }
  });

  it('follow their own distributions for sources', () => {
    const contacts = scenarios.map(({ units }) => sourcesOf(units)[1].contactResistance[1]);
    const below = contacts.filter((resistance) => resistance < 1e-5).length / 3000;
    expect(Math.abs(below - 0.5)).toBeLessThan((4.4 * 0.5) / Math.sqrt(3000));
    const weights = scenarios.map(({ units }) => sourcesOf(units).map((unit) => unit.sharingWeight));
    expect(
      Math.abs(
        correlation(
          weights.map((w) => w[0]),
          weights.map((w) => w[2]),
        ),
      ),
    ).toBeLessThan(4.4 / Math.sqrt(3000));
    const mean = weights.flat().reduce((sum, weight) => sum + weight, 0) / 9000;
    expect(Math.abs(mean - 1)).toBeLessThan((4.4 * 0.05) / Math.sqrt(9000));
    expect(weights.flat().every((weight) => weight >= 0.8 && weight <= 1.2)).toBe(true);
    expect(scenarios.every(({ units }) => loadsOf(units).every((unit) => unit.sharingWeight === 1))).toBe(true);
  });

  it('of the loads stay as they were when the contacts of the sources begin to vary', () => {
    const only = scenarioSource(
      rackStudy(loadDraws.even, [], positions[0], { uncertain: { ...uncertain, sourceContact: null } }),
    );
    for (let index = 0; index < 20; index++) {
      const units = only.draw(index).scenario.units;
      expect(loadsOf(units)).toEqual(loadsOf(scenarios[index].units));
      expect(sourcesOf(units)[0].contactResistance).toEqual([1e-5, 1e-5]);
    }
  });
});

describe('a source of scenarios', () => {
  it('says in words what it draws', () => {
    const study = rackStudy(
      loadDraws['random split'],
      [{ rule: 'apart', units: 'sources', slotsBetween: 2 }],
      positions[2],
      {
        uncertain,
        correlations: [{ between: ['filmFactor', 'inlet'], rank: -0.4 }],
        sampling: { design: 'latin-hypercube', size: 100 },
      },
    );
    const arrangements = [...enumerateSourceArrangements(study)].length;
    expect(arrangements).toBeGreaterThan(1000);
    expect(scenarioSource(study).describe()).toEqual([
      `sources: 2 × "shelf", 1 × "battery"; ${arrangements.toLocaleString('en-US')} arrangements allowed, each equally likely`,
      'loads: 6 to 8 units (each number equally likely) of "node", 5 kW in all split at random (Dirichlet, concentration 2), at uniformly drawn places',
      'rule 1: sources at least 2 slots apart',
      'filmFactor: uniform from 0.8 to 1.2, one value per scenario',
      'inlet: uniform from 16.85 to 36.85 °C, one value per scenario',
      'source contacts: lognormal, median 10 µΩ, geometric standard deviation 1.5, kept within 0 and 1000000 µΩ; each contact and pole by itself',
      'load contacts: uniform from 10 to 90 µΩ; each contact and pole by itself',
      'sharing weights: normal, mean 1, standard deviation 0.05, kept within 0.8 and 1.2, each source by itself',
      'rank correlation -0.4 between filmFactor and inlet',
      'design: independent Latin hypercubes of 100 scenarios',
    ]);
  });

  it('gives up with the scenario in its message where allowed placements are too rare to be drawn', () => {
    // Only 7 of C(106, 6) = 1.7e9 arrangements of the sources leave 100 slots in one piece.
    const loads: LoadsDraw = { draw: 'even', id: 'node', count: { min: 100, max: 100 }, totalPower: 1000 };
    const sources = { units: [{ id: 'shelf', count: 6 }], positions: { draw: 'uniform' } } as const;
    const source = scenarioSource(sampleStudy(106, { sources, loads, rules: [{ rule: 'together', units: 'loads' }] }));
    expect(() => source.draw(12)).toThrow(PlacementNotFound);
    expect(() => source.draw(12)).toThrow(
      'scenario 12: found no allowed place for 100 units of "node" (1 slot each) beside 200000 drawn source arrangements',
    );
  });

  it('refuses a distribution that cannot be drawn, with its place', () => {
    const study = rackStudy(loadDraws.even, [], positions[0], {
      uncertain: { ...uncertain, sharingWeight: { distribution: 'uniform', min: 2, max: 1 } },
    });
    expect(() => scenarioSource(study)).toThrow(
      'study: uncertain.sharingWeight: found uniform with 2, 1; ascending limits are allowed',
    );
  });
});

describe('contacts of sources from a stream of their own', () => {
  const drawn = rackStudy(loadDraws.even, [], positions[0], {
    uncertain: {
      ...uncertain, sourceContact: { distribution: 'uniform', min: 1e-5, max: 2e-5 }, loadContact: { distribution: 'uniform', min: 3e-5, max: 4e-5 },
    },
  });
  const source = scenarioSource(drawn);
  const streams = (index: number) => (purpose: 'placement' | 'contacts' | 'sharing' | 'build') => randomStream(drawn.seed, index, purpose);

  it('leave the contacts of loads as draw gives them, and everything else', () => {
    const { scenario } = source.draw(4);
    const apart = source.drawFrom(streams(4), randomStream(drawn.seed, 9, 'source-contacts')).scenario;
    expect(loadsOf(apart.units)).toEqual(loadsOf(scenario.units));
    expect(sourcesOf(apart.units).map(({ bottomSlot }) => bottomSlot)).toEqual(sourcesOf(scenario.units).map(({ bottomSlot }) => bottomSlot));
    expect(sourcesOf(apart.units)).not.toEqual(sourcesOf(scenario.units));
    for (const { contactResistance } of sourcesOf(apart.units)) {
      for (const ohm of contactResistance) expect(ohm >= 1e-5 && ohm <= 2e-5).toBe(true);
    }
  });

  it('are those of draw where there is no such stream', () => {
    expect(source.drawFrom(streams(4)).scenario.units).toEqual(source.draw(4).scenario.units);
  });
});
