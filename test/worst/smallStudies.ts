import { checkRules } from '../../lib/draw/checkRules.js';
import { ImpossibleRules } from '../../lib/draw/errors.js';
import { randomStream, type RandomStream, type StreamPurpose } from '../../lib/draw/randomStream.js';
import type {
  Catalogue, Film, LoadType, Pole, Rack, SourceKind, SourceType,
} from '../../lib/rack/model.js';
import type {
  LoadsDraw, Rule, SourceCount, SourcePositions, Study, Uncertain, UnitSelector,
} from '../../lib/rack/studyModel.js';
import { COPPER, sampleRack } from '../ladder/sampleRack.js';

/** Every kind of draw, in turn. */
const KINDS = [
  'even', 'catalogue', 'random-split', 'all-or-nothing', 'fixed', 'inventory observed', 'inventory shuffled',
] as const;

/**
 * A random study of a rack so small that all its placements can be rated: 6 to 12 slots, one to three sources, every
 * draw, some rules, both sharings, all operating states the sources allow. Invented; the same for the same seed.
 *
 * @param seed whole number ≥ 0; seed modulo 7 chooses the draw
 */
export function smallStudy(seed: number): Study {
  const stream = randomStream(`small study ${seed}`, seed, 'small study' as StreamPurpose);
  const kind = KINDS[seed % KINDS.length];
  for (;;) {
    const study = anyStudy(kind, seed, stream);
    try {
      checkRules(study);
      return study;
    } catch (error) {
      if (!(error instanceof ImpossibleRules)) throw error;
    }
  }
}

function anyStudy(kind: (typeof KINDS)[number], seed: number, stream: RandomStream): Study {
  const pick = picker(stream);
  const [fewest, most] = kind === 'catalogue' ? [6, 9] : kind === 'random-split' ? [7, 10] : [8, 12];
  const slotCount = pick.whole(fewest, most);
  const catalogue = smallCatalogue(pick);
  const units = smallSources(pick);
  const positions = smallPositions(pick, slotCount, units);
  const heightOf = (id: string): number => catalogue.loads.find((one) => one.id === id)?.heightSlots ?? 1;
  return {
    name: `invented ${seed}`,
    rack: smallRack(pick, slotCount, units),
    catalogue,
    seed: `small ${seed}`,
    scenarios: 100,
    sources: { units, positions },
    loads: smallLoads(kind, pick, slotCount, heightOf),
    rules: Array.from({ length: pick.whole(0, 2) }, () => smallRule(pick, slotCount)),
    candidateRules: [],
    uncertain: smallUncertain(pick),
    correlations: [],
    sampling: { design: 'plain' },
    percentiles: [0.01, 0.5],
    percentileDefinition: 'type-8',
    confidence: 0.95,
    mostNotRated: 0.01,
    stopping: null,
  };
}

interface Picker {
  whole(from: number, to: number): number;
  number(from: number, to: number): number;
  of<T>(...list: readonly T[]): T;
  chance(p: number): boolean;
}

function picker(stream: RandomStream): Picker {
  return {
    whole: (from, to) => from + stream.integerBelow(to - from + 1),
    number: (from, to) => from + (to - from) * stream.double(),
    of: (...list) => list[stream.integerBelow(list.length)],
    chance: (p) => stream.double() < p,
  };
}

function smallSources(pick: Picker): SourceCount[] {
  const counts: SourceCount[] = [{ id: 'shelf', count: pick.whole(1, 2) }];
  if (pick.chance(0.3)) counts.push({ id: 'tall-shelf', count: 1 });
  if (pick.chance(0.3)) counts.push({ id: 'battery', count: 1 });
  return counts;
}

function smallCatalogue(pick: Picker): Catalogue {
  const source = (id: string, heightSlots: number, kind: SourceKind): SourceType => ({
    id, name: id, kind, heightSlots, contactSlot: pick.whole(1, heightSlots), maxCurrent: pick.of(400, 700, 2000),
    maxPower: pick.of(20_000, 33_000, Infinity),
    contact: { ...contact(pick), resistance: pick.number(0, 40e-6) },
    heatPath: { conductance: 0, rise: 0 }, droopResistance: pick.number(0.3e-3, 2e-3), mass: 20,
  });
  const load = (id: string, heightSlots: number, min: number, max: number): LoadType => ({
    id, name: id, heightSlots, contactSlot: pick.whole(1, heightSlots), power: { min, max },
    mixWeight: pick.whole(1, 5),
    contact: { ...contact(pick), resistance: pick.number(20e-6, 200e-6) },
    heatPath: pick.chance(0.3)
      ? { conductance: pick.number(0, 0.2), rise: pick.number(0, 8) }
      : { conductance: 0, rise: 0 },
    mass: 10,
  });
  return {
    name: 'invented',
    sources: [
      source('shelf', 1, 'power-shelf'), source('tall-shelf', 2, 'power-shelf'), source('battery', 1, 'battery-shelf'),
    ],
    loads: [load('node', 1, 1500, 4000), load('double', 2, 2000, 7000), load('triple', 3, 5000, 5000)],
  };
}

function contact(pick: Picker) {
  return {
    resistance: 0, thermalResistance: pick.number(0, 2), heatShare: pick.number(0.5, 1), edgeHeight: pick.of(0, 0.02),
  };
}

function smallPole(pick: Picker, slotCount: number): Pole {
  const split = pick.whole(1, slotCount - 1);
  const section = (fromSlot: number, toSlot: number) => ({
    fromSlot, toSlot, material: COPPER, emissivity: pick.number(0.1, 0.9), openFaces: pick.of<1 | 2>(1, 2),
    plates: {
      count: pick.whole(1, 2), depth: pick.number(0.06, 0.15), thickness: pick.number(0.004, 0.01),
      gap: pick.number(0.005, 0.012),
    },
  });
  if (pick.chance(0.5)) return { sections: [section(1, slotCount)], joints: [] };
  return {
    sections: [section(1, split), section(split + 1, slotCount)],
    joints: [{ aboveSlot: split, resistance: pick.number(0, 5e-6) }],
  };
}

function smallRack(pick: Picker, slotCount: number, units: readonly SourceCount[]): Rack {
  const film = pick.of<Film>({ model: 'still-air' }, { model: 'handbook' }, { model: 'fixed', coefficient: 6 });
  const shelves = units.reduce((sum, { id, count }) => sum + (id === 'battery' ? 0 : count), 0);
  const top = pick.number(0, 5);
  return sampleRack({
    slotCount,
    supply: smallPole(pick, slotCount),
    return: smallPole(pick, slotCount),
    films: { outerFaces: film, edges: film, facingFaces: { model: 'channel' }, factor: pick.number(0.6, 1.2) },
    sharing: { model: pick.of('equal', 'droop') },
    operatingStates: [
      'all-in-service',
      ...(shelves > 1 && pick.chance(0.6) ? ['one-source-out' as const] : []),
      ...(units.some(({ id }) => id === 'battery') && pick.chance(0.6) ? ['batteries-alone' as const] : []),
    ],
    limits: {
      barRise: pick.of(15, 30, 50), barTemperature: pick.of(340, 400, Infinity), contactTemperature: pick.of(360, 400),
      loadContactCurrent: pick.of(200, Infinity), lowestLoadVoltage: pick.of(40, 46),
    },
    air: {
      inlet: pick.number(288, 305),
      profile: Array.from({ length: slotCount }, (_, i) => (top * i) / slotCount),
      exhaustRise: pick.of(0, 0.4e-3), altitude: pick.of(0, 1500), surroundings: null,
    },
  });
}

function smallPositions(pick: Picker, slotCount: number, units: readonly SourceCount[]): SourcePositions {
  const total = units.reduce((sum, { count }) => sum + count, 0);
  const end = pick.whole(3, slotCount - 3);
  const inLower = pick.whole(0, total);
  const fixed = units.flatMap(({ id, count }) => new Array<string>(count).fill(id))
    .map((id, at) => ({ id, bottomSlot: 1 + 2 * at + pick.whole(0, 1) * (slotCount - 2 * total) }));
  return pick.of<SourcePositions>(
    { draw: 'uniform' },
    { draw: 'uniform' },
    { draw: 'contiguous' },
    { draw: 'groups', sizes: total > 1 ? [1, total - 1] : [1] },
    {
      draw: 'bands',
      bands: [
        { fromSlot: 1, toSlot: end, count: inLower },
        { fromSlot: end + 1, toSlot: slotCount, count: total - inLower },
      ],
    },
    { draw: 'fixed', units: fixed },
  );
}

function smallLoads(
  kind: (typeof KINDS)[number], pick: Picker, slotCount: number, heightOf: (id: string) => number,
): LoadsDraw {
  const id = pick.of('node', 'node', 'double');
  const min = pick.whole(1, 2);
  const count = { min, max: min + pick.whole(0, 2) };
  switch (kind) {
    case 'even':
      return { draw: 'even', id, count, totalPower: 9000 };
    case 'random-split':
      return { draw: 'random-split', id, count, totalPower: 9000, concentration: 1 };
    case 'catalogue':
      return {
        draw: 'catalogue', totalPower: pick.whole(6, 12) * 1000,
        fill: pick.of('anywhere', 'anywhere', 'bottom-up', 'top-down'),
      };
    case 'all-or-nothing':
      return {
        draw: 'all-or-nothing', id: pick.of('node', 'double', 'double'), cap: 3000, chanceFull: pick.of(0.3, 0.5, 1),
      };
    case 'fixed': {
      const [one, other] = [pick.of('node', 'double'), pick.of('node', 'double')];
      const low = pick.whole(1, 3);
      return {
        draw: 'fixed',
        units: [
          { id: one, bottomSlot: low, power: pick.number(500, 5000) },
          { id: other, bottomSlot: pick.whole(low + heightOf(one), slotCount - 2), power: pick.number(500, 5000) },
        ],
      };
    }
    default: {
      const racks = Array.from({ length: pick.whole(1, 3) }, (_, at) => ({
        rack: `rack ${at}`,
        units: Array.from({ length: pick.whole(1, 3) }, (__, unit) => {
          const equipment = pick.of('node', 'double', 'double');
          return {
            equipment, heightSlots: heightOf(equipment), bottomSlot: 1 + 3 * unit + pick.whole(0, 1),
            power: pick.number(500, 6000),
          };
        }),
      }));
      return { draw: 'inventory', racks, places: kind === 'inventory observed' ? 'observed' : 'shuffled' };
    }
  }
}

function smallRule(pick: Picker, slotCount: number): Rule {
  const units = pick.of<UnitSelector>(
    'sources', 'power-shelves', 'loads', { id: 'node' }, { id: 'double' }, { id: 'shelf' },
  );
  const neighbours = pick.of<UnitSelector>('sources', 'loads', { id: 'node' });
  const [a, b] = [pick.whole(1, slotCount), pick.whole(1, slotCount)];
  const band = { fromSlot: Math.min(a, b), toSlot: Math.max(a, b) };
  return pick.of<Rule>(
    { rule: 'only-in-band', units, fromSlot: 1 + pick.whole(0, 3), toSlot: slotCount - pick.whole(0, 3) },
    { rule: 'keep-out', units, fromSlot: a, toSlot: Math.min(slotCount, a + 1) },
    { rule: 'not-next-to', units, neighbours },
    { rule: 'together', units },
    { rule: 'apart', units, slotsBetween: pick.whole(1, 2) },
    { rule: 'min-free-slots', count: pick.whole(1, 3) },
    { rule: 'max-power-per-slot', power: pick.whole(25, 50) * 100 },
    { rule: 'max-power-in-band', ...band, power: pick.whole(40, 100) * 100 },
  );
}

function smallUncertain(pick: Picker): Uncertain {
  if (pick.chance(0.4)) return { perScenario: {}, sourceContact: null, loadContact: null, sharingWeight: null };
  return {
    perScenario: {
      contactFactor: { distribution: 'uniform', min: 0.9, max: 1.3 },
      filmFactor: { distribution: 'uniform', min: 0.85, max: 1.1 },
      inlet: { distribution: 'uniform', min: 290, max: 300 },
    },
    sourceContact: null,
    loadContact: pick.chance(0.5) ? { distribution: 'uniform', min: 50e-6, max: 150e-6 } : null,
    sharingWeight: pick.chance(0.5) ? { distribution: 'uniform', min: 0.95, max: 1.05 } : null,
  };
}
