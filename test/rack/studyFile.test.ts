import { describe, expect, it } from 'vitest';
import {
  type Catalogue, parseCatalogue, parseInventory, parseRack, parseStudy, type Rack, type StudyContext,
} from '../../lib/rack/index.js';
import {
  ABSENT, applied, type BadCase, CATALOGUE, catalogue, changed, expectOne, problemsOf, rack, RACK, STUDY,
} from './fixtures.js';

const context = (more: Partial<StudyContext> = {}): StudyContext => ({
  rack: rack(), catalogue: catalogue(), fileName: 'my-study.json', ...more,
});

const withStates = (...operatingStates: string[]): Rack => parseRack(changed(RACK, 'operatingStates', operatingStates));
const withDroop = (): Rack => parseRack(changed(RACK, 'feed.sharing', 'droop'));
const inventory = (...lines: string[]) => ({
  'inv.csv': parseInventory(`rack,bottomSlot,heightSlots,equipment,powerKw\n${lines.join('\n')}\n`),
});
const fromInventory = { draw: 'inventory', file: 'inv.csv', places: 'observed' };
const measured = { distribution: 'measured', file: 'm.csv', column: 'contactMicroOhm' };

describe('a sound study', () => {
  it('is read with defaults: plain design, type 8 percentiles, 95 % confidence, nothing uncertain', () => {
    expect(parseStudy(STUDY, context())).toEqual({
      name: 'test study',
      rack: rack(),
      catalogue: catalogue(),
      seed: '1',
      scenarios: 100,
      sources: { units: [{ id: 'shelf', count: 2 }], positions: { draw: 'uniform' } },
      loads: { draw: 'even', id: 'node', count: { min: 1, max: 6 }, totalPower: 20000 },
      rules: [],
      candidateRules: [],
      uncertain: { perScenario: {}, sourceContact: null, loadContact: null, sharingWeight: null },
      correlations: [],
      sampling: { design: 'plain' },
      percentiles: [0.01, 0.5],
      percentileDefinition: 'type-8',
      confidence: 0.95,
      mostNotRated: 0.01,
      stopping: null,
    });
  });

  it('need not name its rack and catalogue where they are given as objects', () => {
    const json = applied(STUDY, [['rack', ABSENT], ['catalogue', ABSENT]]);
    expect(parseStudy(json, context()).rack.name).toBe('test rack');
  });

  it('has the uncertain quantities in SI, cut at infinity unless the file says where', () => {
    const { uncertain } = parseStudy(changed(STUDY, 'uncertain', {
      inletC: { distribution: 'normal', mean: 25, sd: 1, max: 30 },
      areaFactor: { distribution: 'fixed', value: 0.98 },
      sourceContactMicroOhm: { distribution: 'lognormal', median: 20, geometricSd: 1.5 },
      loadContactMicroOhm: { distribution: 'triangular', min: 5, mode: 7, max: 10 },
      sharingWeight: { distribution: 'uniform', min: 0.9, max: 1.1 },
    }), context());
    expect(uncertain).toEqual({
      perScenario: {
        inlet: { distribution: 'normal', mean: 298.15, sd: 1, min: Number.NEGATIVE_INFINITY, max: 303.15 },
        areaFactor: { distribution: 'fixed', value: 0.98 },
      },
      sourceContact: {
        distribution: 'lognormal', median: 20e-6, geometricSd: 1.5, min: 0, max: Number.POSITIVE_INFINITY,
      },
      loadContact: { distribution: 'triangular', min: 5e-6, mode: 7e-6, max: 10e-6 },
      sharingWeight: { distribution: 'uniform', min: 0.9, max: 1.1 },
    });
  });

  it('resamples measurements in ohms', () => {
    const study = parseStudy(changed(STUDY, 'uncertain', { loadContactMicroOhm: measured }),
      context({ measurements: { 'm.csv': { contactMicroOhm: [80, 120] } } }));
    expect(study.uncertain.loadContact).toEqual({ distribution: 'measured', values: [80e-6, 120e-6] });
  });

  it('has watts in its rules and its stopping, and fractions for per cent', () => {
    const study = parseStudy(applied(STUDY, [
      ['rules', [
        { rule: 'max-power-per-slot', powerKw: 2.5 },
        { rule: 'max-power-in-band', fromSlot: 1, toSlot: 3, powerKw: 4 },
        { rule: 'not-next-to', units: 'sources', neighbours: { id: 'tall' } },
        { rule: 'apart', units: 'power-shelves', slotsBetween: 1 },
      ]],
      ['percentilesPercent', [50, 1, 0.1]],
      ['confidencePercent', 90],
      ['stop', { percentilePercent: 5, halfWidthKw: 0.5, lookEvery: 50 }],
    ]), context());
    expect(study.rules).toEqual([
      { rule: 'max-power-per-slot', power: 2500 },
      { rule: 'max-power-in-band', fromSlot: 1, toSlot: 3, power: 4000 },
      { rule: 'not-next-to', units: 'sources', neighbours: { id: 'tall' } },
      { rule: 'apart', units: 'power-shelves', slotsBetween: 1 },
    ]);
    expect(study.percentiles).toEqual([0.001, 0.01, 0.5]);
    expect(study.confidence).toBe(0.9);
    expect(study.stopping).toEqual({ percentile: 0.05, halfWidth: 500, lookEvery: 50 });
  });

  it('keeps candidate rules apart from its own, in watts and in their order', () => {
    const study = parseStudy(applied(STUDY, [
      ['rules', [{ rule: 'min-free-slots', count: 1 }]],
      ['candidateRules', [
        { name: 'capped', rules: [{ rule: 'max-power-per-slot', powerKw: 2.5 }, { rule: 'together', units: 'sources' }] },
        { name: 'low end', rules: [{ rule: 'max-power-in-band', fromSlot: 1, toSlot: 3, powerKw: 4 }] },
      ]],
    ]), context());
    expect(study.rules).toEqual([{ rule: 'min-free-slots', count: 1 }]);
    expect(study.candidateRules).toEqual([
      { name: 'capped', rules: [{ rule: 'max-power-per-slot', power: 2500 }, { rule: 'together', units: 'sources' }] },
      { name: 'low end', rules: [{ rule: 'max-power-in-band', fromSlot: 1, toSlot: 3, power: 4000 }] },
    ]);
  });

  it('counts sources at given places itself', () => {
    const units = [{ id: 'shelf', bottomSlot: 1 }, { id: 'battery', bottomSlot: 3 }, { id: 'shelf', bottomSlot: 9 }];
    const study = parseStudy(applied(STUDY, [
      ['sources', { positions: { draw: 'fixed', units } }], ['loads.count.max', 5],
    ]), context());
    expect(study.sources.units).toEqual([{ id: 'shelf', count: 2 }, { id: 'battery', count: 1 }]);
  });

  it('correlates quantities that vary', () => {
    const study = parseStudy(applied(STUDY, [
      ['uncertain', {
        inletC: { distribution: 'uniform', min: 20, max: 30 },
        filmFactor: { distribution: 'uniform', min: 0.9, max: 1.1 },
      }],
      ['correlations', [{ between: ['inletC', 'filmFactor'], rank: -0.5 }]],
      ['sampling', { design: 'latin-hypercube', size: 20 }],
    ]), context());
    expect(study.correlations).toEqual([{ between: ['inlet', 'filmFactor'], rank: -0.5 }]);
    expect(study.sampling).toEqual({ design: 'latin-hypercube', size: 20 });
  });

  it('carries every other draw of loads and sources', () => {
    const loads = (draw: object) => parseStudy(changed(STUDY, 'loads', draw),
      context({ inventories: inventory('a,1,1,node,1') })).loads;
    expect(loads({ draw: 'random-split', id: 'node', count: { min: 2, max: 2 }, totalPowerKw: 5, concentration: 1 }))
      .toMatchObject({ totalPower: 5000, concentration: 1 });
    expect(loads({ draw: 'all-or-nothing', id: 'node', capKw: 2, chanceFullPercent: 50 }))
      .toEqual({ draw: 'all-or-nothing', id: 'node', cap: 2000, chanceFull: 0.5 });
    expect(loads({ draw: 'catalogue', totalPowerKw: 5, fill: 'top-down' }))
      .toEqual({ draw: 'catalogue', totalPower: 5000, fill: 'top-down' });
    expect(loads({ draw: 'fixed', units: [{ id: 'tall', bottomSlot: 8, powerKw: 3 }] }))
      .toEqual({ draw: 'fixed', units: [{ id: 'tall', bottomSlot: 8, power: 3000 }] });
    expect(loads(fromInventory)).toMatchObject({ draw: 'inventory', places: 'observed', racks: [{ rack: 'a' }] });
    const groups = { units: [{ id: 'shelf', count: 3 }], positions: { draw: 'groups', sizes: [2, 1] } };
    const grouped = parseStudy(applied(STUDY, [['sources', groups], ['loads.count.max', 3]]), context());
    expect(grouped.sources).toEqual(groups);
  });
});

interface StudyCase extends BadCase {
  readonly context?: () => Partial<StudyContext>;
  /** File the problem belongs to, where it is not the study's. */
  readonly file?: string;
}

const tallCatalogue = (heightSlots: number): Catalogue => (
  parseCatalogue(changed(CATALOGUE, 'loads[1].heightSlots', heightSlots))
);

const SOURCES: StudyCase[] = [
  {
    says: 'the list of sources is empty',
    change: [['sources.units', []]],
    path: 'sources.units', found: 'an empty list', allowed: 'give at least one source with a count of at least 1',
  },
  {
    says: 'every source has the count 0',
    change: [['sources.units', [{ id: 'shelf', count: 0 }, { id: 'battery', count: 0 }]]],
    path: 'sources.units', found: 'a count of 0 everywhere', allowed: /at least one source/,
  },
  {
    says: 'there is no list of sources and their places are drawn',
    change: [['sources.units', ABSENT]],
    path: 'sources.units', found: 'nothing', allowed: /^list the sources/,
  },
  {
    says: 'there is no power shelf though all are to be in service',
    change: [['sources.units', [{ id: 'battery', count: 2 }]]],
    path: 'sources', found: 'no power shelf', allowed: /operating state "all-in-service" needs one/,
  },
  {
    says: 'one source is to go out and there is a single power shelf',
    change: [['sources.units', [{ id: 'shelf', count: 1 }, { id: 'battery', count: 2 }]]],
    context: () => ({ rack: withStates('all-in-service', 'one-source-out') }),
    path: 'sources', found: 'a single power shelf', allowed: /"one-source-out" .* give at least two/,
  },
  {
    says: 'batteries are to feed alone and the study has none',
    change: [],
    context: () => ({ rack: withStates('batteries-alone') }),
    path: 'sources', found: 'no battery shelf', allowed: /add one of "battery"/,
  },
  {
    says: 'batteries are to feed alone and the catalogue has none',
    change: [],
    context: () => ({
      rack: withStates('batteries-alone'),
      catalogue: parseCatalogue(changed(CATALOGUE, 'sources[1].kind', 'power-shelf')),
    }),
    path: 'sources', found: 'no battery shelf', allowed: /the catalogue has none/,
  },
  {
    says: 'a contact is as high as a slot',
    change: [],
    context: () => ({ catalogue: parseCatalogue(changed(CATALOGUE, 'loads[0].contact.grip', { edgeHeightMm: 50 })) }),
    path: 'catalogue', found: /the contact of ".*" with 50 mm along the front edge/, allowed: /lower than one slot, 50 mm/,
  },
  {
    says: 'sources share by droop and have none',
    change: [],
    context: () => ({ rack: withDroop() }),
    path: 'sources', found: '"shelf" without a droop resistance', allowed: /"droopMilliOhm" above 0 in the catalogue/,
  },
  {
    says: 'a source is not in the catalogue',
    change: [['sources.units[0].id', 'shelv']],
    path: 'sources.units[0].id', found: '"shelv"', allowed: /^did you mean "shelf"\? .*"shelf", "battery"/,
  },
  {
    says: 'a source is a load',
    change: [['sources.units[0].id', 'node']],
    path: 'sources.units[0].id', found: '"node", which is no source', allowed: /^give the id of a source/,
  },
  {
    says: 'a source is listed twice',
    change: [['sources.units', [{ id: 'shelf', count: 1 }, { id: 'shelf', count: 1 }]]],
    path: 'sources.units[1].id', found: '"shelf", as in units[0]', allowed: /list each source once/,
  },
  {
    says: 'sources at given places overlap',
    change: [['sources', {
      positions: { draw: 'fixed', units: [{ id: 'shelf', bottomSlot: 4 }, { id: 'shelf', bottomSlot: 3 }] },
    }]],
    path: 'sources.positions.units[0].bottomSlot', found: '4, for "shelf" on slots 4 to 5',
    allowed: 'units may not overlap, and sources.positions.units[1] takes slots 3 to 4',
  },
  {
    says: 'a source at a given place passes the top of the rack',
    change: [['sources', { positions: { draw: 'fixed', units: [{ id: 'shelf', bottomSlot: 10 }] } }]],
    path: 'sources.positions.units[0].bottomSlot', found: '10, for "shelf" of 2 slots',
    allowed: 'give 1 to 9: the rack has 10 slots',
  },
  {
    says: 'given places and counts disagree',
    change: [['sources.positions', { draw: 'fixed', units: [{ id: 'shelf', bottomSlot: 1 }] }]],
    path: 'sources.units[0].count', found: '2', allowed: /^"positions" names 1 of "shelf"/,
  },
  {
    says: 'a source at a given place is not counted',
    change: [['sources', {
      units: [{ id: 'shelf', count: 1 }],
      positions: { draw: 'fixed', units: [{ id: 'shelf', bottomSlot: 1 }, { id: 'battery', bottomSlot: 3 }] },
    }]],
    path: 'sources.units', found: 'no "battery"', allowed: /^"positions" names it: make both agree/,
  },
  {
    says: 'a source at a given place is not in the catalogue',
    change: [['sources', {
      positions: { draw: 'fixed', units: [{ id: 'shelf', bottomSlot: 1 }, { id: 'x', bottomSlot: 5 }] },
    }]],
    path: 'sources.positions.units[1].id', found: '"x"', allowed: /^give the id of a source/,
  },
  {
    says: 'groups do not hold all sources',
    change: [['sources.positions', { draw: 'groups', sizes: [2, 1] }]],
    path: 'sources.positions.sizes', found: '3 sources in all', allowed: /add up to the 2 sources/,
  },
  {
    says: 'bands do not hold all sources',
    change: [['sources.positions', { draw: 'bands', bands: [{ fromSlot: 1, toSlot: 5, count: 1 }] }]],
    path: 'sources.positions.bands', found: '1 sources in all', allowed: /add up to the 2 sources/,
  },
  {
    says: 'bands overlap',
    change: [['sources.positions', {
      draw: 'bands', bands: [{ fromSlot: 1, toSlot: 5, count: 1 }, { fromSlot: 5, toSlot: 10, count: 1 }],
    }]],
    path: 'sources.positions.bands[1]', found: 'slots 5 to 10',
    allowed: 'bands may not overlap, and bands[0] covers slots 1 to 5',
  },
  {
    says: 'a band passes the top of the rack',
    change: [['sources.positions', { draw: 'bands', bands: [{ fromSlot: 6, toSlot: 11, count: 2 }] }]],
    path: 'sources.positions.bands[0].toSlot', found: '11', allowed: /^give at most 10/,
  },
  {
    says: 'a band is too small for its sources',
    change: [['sources.positions', { draw: 'bands', bands: [{ fromSlot: 1, toSlot: 3, count: 2 }] }]],
    path: 'sources.positions.bands[0].count', found: '2', allowed: /take at least 4 slots, and the band has 3/,
  },
  {
    says: 'a draw is misspelt',
    change: [['sources.positions.draw', 'contiguos']],
    path: 'sources.positions.draw', found: '"contiguos"', allowed: /^did you mean "contiguous"\? give one of/,
  },
  {
    says: 'the key of a draw is misspelt',
    change: [['sources.positions', { drew: 'uniform' }]],
    path: 'sources.positions.draw', found: 'nothing', allowed: /^did you mean "draw" where you wrote "drew"\?/,
  },
];

const LOADS: StudyCase[] = [
  {
    says: 'sources and the most loads do not fit together',
    change: [['loads.count.max', 7]],
    path: 'loads.count.max', found: '7',
    allowed: 'give at most 6: the sources leave 6 slots and each unit takes one slot',
  },
  {
    says: 'the sources alone do not fit',
    change: [['sources.units[0].count', 6]],
    path: 'sources.units', found: 'sources that need 12 slots', allowed: 'give at most the 10 slots of the rack',
  },
  {
    says: 'the sources leave no room for the lowest load',
    change: [['sources.units[0].count', 5], ['loads', { draw: 'catalogue', totalPowerKw: 9, fill: 'anywhere' }]],
    path: 'sources.units', found: 'sources that need 10 of the rack\'s 10 slots',
    allowed: /leave room for loads: the lowest takes one slot/,
  },
  {
    says: 'groups leave no slot between each other',
    change: [
      ['sources', { units: [{ id: 'shelf', count: 4 }], positions: { draw: 'groups', sizes: [1, 1, 1, 1] } }],
      ['loads', { draw: 'catalogue', totalPowerKw: 9, fill: 'anywhere' }],
    ],
    path: 'sources.units', found: 'sources that need 11 slots', allowed: /10 slots of the rack/,
  },
  {
    says: 'given loads do not fit with drawn sources',
    change: [['loads', {
      draw: 'fixed',
      units: [1, 4, 7].map((bottomSlot) => ({ id: 'tall', bottomSlot, powerKw: 1 })),
    }]],
    path: 'loads.units', found: 'loads that take 9 slots',
    allowed: /^give at most 6: the sources need 4 of the rack's 10/,
  },
  {
    says: 'given loads overlap given sources',
    change: [
      ['sources', { positions: { draw: 'fixed', units: [{ id: 'shelf', bottomSlot: 1 }] } }],
      ['loads', { draw: 'fixed', units: [{ id: 'node', bottomSlot: 2, powerKw: 1 }] }],
    ],
    path: 'loads.units[0].bottomSlot', found: '2, for "node" on slot 2',
    allowed: 'units may not overlap, and sources.positions.units[0] takes slots 1 to 2',
  },
  {
    says: 'given loads overlap',
    change: [['loads', {
      draw: 'fixed', units: [{ id: 'tall', bottomSlot: 1, powerKw: 1 }, { id: 'node', bottomSlot: 3, powerKw: 1 }],
    }]],
    path: 'loads.units[1].bottomSlot', found: '3, for "node" on slot 3',
    allowed: /loads\.units\[0\] takes slots 1 to 3/,
  },
  {
    says: 'a given load passes the top of the rack',
    change: [['loads', { draw: 'fixed', units: [{ id: 'tall', bottomSlot: 9, powerKw: 1 }] }]],
    path: 'loads.units[0].bottomSlot', found: '9, for "tall" of 3 slots', allowed: /^give 1 to 8/,
  },
  {
    says: 'a load type is taller than the rack',
    change: [['loads.id', 'tall']],
    context: () => ({ catalogue: tallCatalogue(11) }),
    path: 'loads.id', found: '"tall", 11 slots high', allowed: 'give units that fit: the rack has 10 slots',
  },
  {
    says: 'a load type of the mix is taller than the rack',
    change: [['loads', { draw: 'catalogue', totalPowerKw: 9, fill: 'anywhere' }]],
    context: () => ({ catalogue: tallCatalogue(11) }),
    path: 'loads', found: '"tall", 11 slots high', allowed: /the rack has 10 slots/,
  },
  {
    says: 'a load is not in the catalogue',
    change: [['loads.id', 'nod']],
    path: 'loads.id', found: '"nod"', allowed: /^did you mean "node"\? give the id of a load/,
  },
  {
    says: 'a load is a source',
    change: [['loads.id', 'shelf']],
    path: 'loads.id', found: '"shelf", which is no load', allowed: /"node", "tall"/,
  },
  {
    says: 'a count range is upside down',
    change: [['loads.count', { min: 3, max: 2 }]],
    path: 'loads.count.max', found: '2', allowed: 'give at least "min" (3)',
  },
  {
    says: 'a chance is above 100 %',
    change: [['loads', { draw: 'all-or-nothing', id: 'node', capKw: 1, chanceFullPercent: 101 }]],
    path: 'loads.chanceFullPercent', found: '101', allowed: /^give a number above 0 up to 100/,
  },
  {
    says: 'a key belongs to another draw',
    change: [['loads.concentration', 1]],
    path: 'loads.concentration', found: 'the unknown key "concentration"',
    allowed: 'the keys allowed here are draw, id, count, totalPowerKw',
  },
];

const INVENTORIES: StudyCase[] = [
  {
    says: 'an inventory is not passed',
    change: [['loads', fromInventory]],
    path: 'loads.file', found: '"inv.csv"', allowed: 'pass this inventory with the study: none was passed',
  },
  {
    says: 'an inventory names unknown equipment, however often',
    change: [['loads', fromInventory]],
    context: () => ({ inventories: inventory('a,1,1,nodes,1', 'a,2,1,node,1', 'b,3,1,nodes,1') }),
    file: 'inv.csv', path: 'rack a, bottomSlot 1, column equipment', found: '"nodes"',
    allowed: /^did you mean "node"\?/,
  },
  {
    says: 'an inventory lists a source',
    change: [['loads', fromInventory]],
    context: () => ({ inventories: inventory('a,1,2,shelf,1') }),
    file: 'inv.csv', path: 'rack a, bottomSlot 1, column equipment', found: '"shelf", which is no load',
    allowed: /a load/,
  },
  {
    says: 'heights of the inventory differ from the catalogue, however often',
    change: [['loads', fromInventory]],
    context: () => ({ inventories: inventory('a,1,2,tall,1', 'b,1,2,tall,1') }),
    file: 'inv.csv', path: 'rack a, bottomSlot 1, column heightSlots', found: '2 for "tall" (and 1 more like it)',
    allowed: 'give 3, its height in the catalogue',
  },
  {
    says: 'a unit of the inventory stands above the rack',
    change: [['loads', fromInventory]],
    context: () => ({ inventories: inventory('a,9,3,tall,1') }),
    file: 'inv.csv', path: 'rack a, bottomSlot 9', found: 'a unit up to slot 11',
    allowed: 'the rack of the study has 10 slots',
  },
  {
    says: 'a rack of the inventory leaves no room for the sources',
    change: [['loads', fromInventory]],
    context: () => ({ inventories: inventory('a,1,3,tall,1', 'a,4,3,tall,1', 'a,7,1,node,1') }),
    file: 'inv.csv', path: 'rack a', found: 'units of 7 slots', allowed: /^at most 6 fit/,
  },
];

const uniform = (min: number, max: number) => ({ distribution: 'uniform', min, max });

const QUANTITIES: StudyCase[] = [
  {
    says: 'min is not below max',
    change: [['uncertain', { filmFactor: uniform(1.1, 0.9) }]],
    path: 'uncertain.filmFactor.max', found: '0.9', allowed: 'give a number above "min" (1.1)',
  },
  {
    says: 'a mode lies outside its ends',
    change: [['uncertain', { filmFactor: { distribution: 'triangular', min: 0.9, mode: 2, max: 1.1 } }]],
    path: 'uncertain.filmFactor.mode', found: '2', allowed: 'give a number from "min" (0.9) to "max" (1.1)',
  },
  {
    says: 'cuts are not in order',
    change: [['uncertain', { filmFactor: { distribution: 'normal', mean: 1, sd: 0.01, min: 1.1, max: 0.9 } }]],
    path: 'uncertain.filmFactor.max', found: '0.9', allowed: /above "min" \(1.1\)/,
  },
  {
    says: 'a cut leaves nothing of a normal',
    change: [['uncertain', { filmFactor: { distribution: 'normal', mean: 1, sd: 0.01, min: 2 } }]],
    path: 'uncertain.filmFactor.min', found: '2', allowed: /between 0.910 and 1.09/,
  },
  {
    says: 'a value is impossible',
    change: [['uncertain', { emissivity: { distribution: 'fixed', value: 1.2 } }]],
    path: 'uncertain.emissivity.value', found: '1.2', allowed: 'emissivity must be 0 to 1',
  },
  {
    says: 'an inlet lies below absolute zero',
    change: [['uncertain', { inletC: { distribution: 'fixed', value: -300 } }]],
    path: 'uncertain.inletC.value', found: '-300', allowed: 'inletC must be above -273.15',
  },
  {
    says: 'an end is impossible',
    change: [['uncertain', { sourceContactMicroOhm: uniform(-1, 10) }]],
    path: 'uncertain.sourceContactMicroOhm.min', found: '-1', allowed: 'sourceContactMicroOhm must be at least 0',
  },
  {
    says: 'a normal reaches impossible values',
    change: [['uncertain', { filmFactor: { distribution: 'normal', mean: 1, sd: 0.2 } }]],
    path: 'uncertain.filmFactor.min', found: 'nothing, for a normal that reaches -0.800',
    allowed: 'filmFactor must be above 0: cut the distribution there with "min"',
  },
  {
    says: 'a lognormal stands for a temperature',
    change: [['uncertain', { inletC: { distribution: 'lognormal', median: 25, geometricSd: 1.1 } }]],
    path: 'uncertain.inletC.distribution', found: '"lognormal"', allowed: /give another distribution/,
  },
  {
    says: 'a standard deviation is zero',
    change: [['uncertain', { inletC: { distribution: 'normal', mean: 25, sd: 0 } }]],
    path: 'uncertain.inletC.sd', found: '0', allowed: /^give a number above 0/,
  },
  {
    says: 'a geometric standard deviation is not above 1',
    change: [['uncertain', { contactFactor: { distribution: 'lognormal', median: 1, geometricSd: 0.3 } }]],
    path: 'uncertain.contactFactor.geometricSd', found: '0.3', allowed: /^give a number above 1/,
  },
  {
    says: 'measurements are not passed',
    change: [['uncertain', { loadContactMicroOhm: measured }]],
    path: 'uncertain.loadContactMicroOhm.file', found: '"m.csv", column "contactMicroOhm"',
    allowed: /measurements passed/,
  },
  {
    says: 'a column of measurements is in another unit',
    change: [['uncertain', { loadContactMicroOhm: { ...measured, column: 'contactMilliOhm' } }]],
    context: () => ({ measurements: { 'm.csv': { contactMilliOhm: [1] } } }),
    path: 'uncertain.loadContactMicroOhm.column', found: '"contactMilliOhm"',
    allowed: /its name must end in "MicroOhm"/,
  },
  {
    says: 'a measurement is impossible',
    change: [['uncertain', { loadContactMicroOhm: measured }]],
    context: () => ({ measurements: { 'm.csv': { contactMicroOhm: [1, -2] } } }),
    path: 'uncertain.loadContactMicroOhm', found: '-2 in m.csv, column contactMicroOhm', allowed: /at least 0/,
  },
  {
    says: 'a quantity lacks its unit',
    change: [['uncertain', { inlet: uniform(20, 30) }]],
    path: 'uncertain.inlet', found: 'the unknown key "inlet"', allowed: /^did you mean "inletC"\?/,
  },
  {
    says: 'a correlation names a quantity that is not drawn',
    change: [
      ['uncertain', { inletC: uniform(20, 30) }],
      ['correlations', [{ between: ['inletC', 'filmFactor'], rank: 0.5 }]],
    ],
    path: 'correlations[0].between[1]', found: '"filmFactor", which does not vary', allowed: /under "uncertain"/,
  },
  {
    says: 'a correlation names a fixed quantity',
    change: [
      ['uncertain', { inletC: uniform(20, 30), filmFactor: { distribution: 'fixed', value: 1 } }],
      ['correlations', [{ between: ['filmFactor', 'inletC'], rank: 0.5 }]],
    ],
    path: 'correlations[0].between[0]', found: '"filmFactor", which does not vary', allowed: /other than "fixed"/,
  },
  {
    says: 'a correlation names a quantity with many values per scenario',
    change: [
      ['uncertain', { inletC: uniform(20, 30), loadContactMicroOhm: uniform(1, 2) }],
      ['correlations', [{ between: ['inletC', 'loadContactMicroOhm'], rank: 0.5 }]],
    ],
    path: 'correlations[0].between[1]', found: '"loadContactMicroOhm"', allowed: /one value per scenario/,
  },
  {
    says: 'a quantity is correlated with itself',
    change: [
      ['uncertain', { inletC: uniform(20, 30) }],
      ['correlations', [{ between: ['inletC', 'inletC'], rank: 0.5 }]],
    ],
    path: 'correlations[0].between', found: '"inletC" twice', allowed: 'give two different quantities',
  },
  {
    says: 'a pair is correlated twice',
    change: [
      ['uncertain', { inletC: uniform(20, 30), areaFactor: uniform(0.9, 1) }],
      ['correlations', [
        { between: ['inletC', 'areaFactor'], rank: 0.5 }, { between: ['areaFactor', 'inletC'], rank: 0.4 },
      ]],
    ],
    path: 'correlations[1].between', found: 'areaFactor and inletC', allowed: /correlations\[0\] has it already/,
  },
  {
    says: 'a correlation is above 1',
    change: [
      ['uncertain', { inletC: uniform(20, 30), areaFactor: uniform(0.9, 1) }],
      ['correlations', [{ between: ['inletC', 'areaFactor'], rank: 1.5 }]],
    ],
    path: 'correlations[0].rank', found: '1.5', allowed: /^give a number from -1 to 1/,
  },
];

const DESIGN: StudyCase[] = [
  {
    says: 'a percentile is above 100',
    change: [['percentilesPercent', [1, 101]]],
    path: 'percentilesPercent[1]', found: '101', allowed: 'give a number from 0 to 100 (percentile, per cent)',
  },
  {
    says: 'a percentile is named twice',
    change: [['percentilesPercent', [1, 1]]],
    path: 'percentilesPercent[1]', found: '1 a second time', allowed: 'name each percentile once',
  },
  {
    says: 'a confidence is 100 %',
    change: [['confidencePercent', 100]],
    path: 'confidencePercent', found: '100', allowed: /^give a number above 0 and below 100/,
  },
  {
    says: 'the scenarios are no whole number of Latin hypercubes',
    change: [['sampling', { design: 'latin-hypercube', size: 30 }]],
    path: 'scenarios', found: '100', allowed: 'give a multiple of 30, the size of one Latin hypercube',
  },
  {
    says: 'looks fall between Latin hypercubes',
    change: [
      ['sampling', { design: 'latin-hypercube', size: 20 }],
      ['stop', { percentilePercent: 5, halfWidthKw: 1, lookEvery: 50 }],
    ],
    path: 'stop', found: /stops by itself/, allowed: /use plain sampling/,
  },
  {
    says: 'the first look comes after the last scenario',
    change: [['stop', { percentilePercent: 5, halfWidthKw: 1, lookEvery: 200 }]],
    path: 'stop.lookEvery', found: '200', allowed: /at most the number of scenarios \(100\)/,
  },
  {
    says: 'a seed is a fraction',
    change: [['seed', 1.5]],
    path: 'seed', found: '1.5', allowed: /^give text, or a whole number/,
  },
  {
    says: 'a rule is unknown',
    change: [['rules', [{ rule: 'appart', units: 'sources', slotsBetween: 1 }]]],
    path: 'rules[0].rule', found: '"appart"', allowed: /^did you mean "apart"\?/,
  },
  {
    says: 'a rule speaks of unknown units',
    change: [['rules', [{ rule: 'together', units: 'shelves' }]]],
    path: 'rules[0].units', found: '"shelves"', allowed: /^give "sources", "power-shelves"/,
  },
  {
    says: 'a rule speaks of equipment that is not in the catalogue',
    change: [['rules', [{ rule: 'not-next-to', units: 'sources', neighbours: { id: 'tal' } }]]],
    path: 'rules[0].neighbours.id', found: '"tal"', allowed: /^did you mean "tall"\?/,
  },
  {
    says: 'the band of a rule passes the top of the rack',
    change: [['rules', [{ rule: 'keep-out', units: 'loads', fromSlot: 9, toSlot: 12 }]]],
    path: 'rules[0].toSlot', found: '12', allowed: /^give at most 10/,
  },
  {
    says: 'the band of a rule is upside down',
    change: [['rules', [{ rule: 'max-power-in-band', fromSlot: 9, toSlot: 2, powerKw: 1 }]]],
    path: 'rules[0].toSlot', found: '2', allowed: /from "fromSlot" \(9\) upwards/,
  },
];

const together = { rule: 'together', units: 'sources' };
const CANDIDATES: StudyCase[] = [
  {
    says: 'they have no rule',
    change: [['candidateRules', [{ name: 'nothing', rules: [] }]]],
    path: 'candidateRules[0].rules', found: 'an empty list', allowed: /^give a list of at least 1/,
  },
  {
    says: 'they have no name',
    change: [['candidateRules', [{ rules: [together] }]]],
    path: 'candidateRules[0].name', found: 'nothing', allowed: /name shown in tables/,
  },
  {
    says: 'two have the same name',
    change: [['candidateRules', [{ name: 'one block', rules: [together] }, { name: 'one block', rules: [together] }]]],
    path: 'candidateRules[1].name', found: '"one block" a second time', allowed: 'give each name once',
  },
  {
    says: 'one of their rules is unknown',
    change: [['candidateRules', [{ name: 'apart', rules: [{ rule: 'appart', units: 'sources', slotsBetween: 1 }] }]]],
    path: 'candidateRules[0].rules[0].rule', found: '"appart"', allowed: /^did you mean "apart"\?/,
  },
  {
    says: 'one of their rules speaks of equipment that is not in the catalogue',
    change: [['candidateRules', [{ name: 'lone', rules: [together, { rule: 'together', units: { id: 'tal' } }] }]]],
    path: 'candidateRules[0].rules[1].units.id', found: '"tal"', allowed: /^did you mean "tall"\?/,
  },
  {
    says: 'the band of one of their rules passes the top of the rack',
    change: [['candidateRules', [
      { name: 'block', rules: [together] },
      { name: 'band', rules: [{ rule: 'keep-out', units: 'loads', fromSlot: 9, toSlot: 12 }] },
    ]]],
    path: 'candidateRules[1].rules[0].toSlot', found: '12', allowed: /^give at most 10/,
  },
];

for (const [what, cases] of Object.entries({ SOURCES, LOADS, INVENTORIES, QUANTITIES, DESIGN, CANDIDATES })) {
  describe(`a study is refused with exactly one message (${what.toLowerCase()}) where`, () => {
    for (const { says, change, context: more, file, ...expected } of cases) {
      it(says, () => {
        const problems = problemsOf(() => parseStudy(applied(STUDY, change), context(more?.())));
        expectOne(problems, file ?? 'my-study.json', expected);
      });
    }
  });
}

describe('a study with several mistakes', () => {
  it('reports those of the schema and those beyond it at once', () => {
    const problems = problemsOf(() => parseStudy(applied(STUDY, [
      ['seed', ''],
      ['sources.units[0].id', 'x'],
      ['loads.id', 'y'],
      ['uncertain', { inletC: uniform(3, 2), filmFactor: { distribution: 'uniform', min: 1 } }],
      ['rules', [{ rule: 'together', units: { id: 'z' } }]],
    ]), context()));
    expect(problems.map(({ path }) => path).sort()).toEqual([
      'loads.id', 'rules[0].units.id', 'seed', 'sources.units[0].id', 'uncertain.filmFactor.max',
      'uncertain.inletC.max',
    ]);
  });
});
