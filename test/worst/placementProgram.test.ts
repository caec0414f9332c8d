/** The program against every path written out, on racks of five or six slots with random terms. */
import { describe, expect, it } from 'vitest';
import {
  NOMINAL_BUILD, type PlacedUnit, randomStream, type RuledUnit, type Scenario, scenarioSource, type StreamPurpose,
} from '../../lib/draw/index.js';
import { permittedBottoms, type RuleBook, ruleBook } from '../../lib/draw/ruleBook.js';
import { type OperatingState, operatingStates } from '../../lib/ladder/index.js';
import type { OperatingStateRule, Rule, SourcePositions, Study } from '../../lib/rack/index.js';
import { unitsOf } from '../../lib/worst/enumeratePlacements.js';
import { sourceArrangementsOf } from '../../lib/worst/enumerateSources.js';
import { type LoadFamily, loadFamilies, powerWithin } from '../../lib/worst/loadFamilies.js';
import { type PlacementClass, PlacementProgram, type ProgramTerms } from '../../lib/worst/placementProgram.js';
import { smallStudy } from './smallStudies.js';

const stream = randomStream('placement program', 1, 'test' as StreamPurpose);
const whole = (from: number, to: number) => from + stream.integerBelow(to - from + 1);
const number = (from: number, to: number) => from + (to - from) * stream.double();

interface Case {
  readonly study: Study;
  readonly book: RuleBook;
  readonly program: PlacementProgram;
  readonly part: PlacementClass;
  readonly terms: ProgramTerms;
  readonly bins: number;
}

/** A unit of a path: a load moves the share by so many bins. */
interface Step {
  readonly bottom: number;
  readonly heightSlots: number;
  readonly contact: number;
  /** Piece of a source, or −1. */
  readonly piece: number;
  readonly active: boolean;
  readonly option: number;
  readonly moved: number;
}

const SOURCE_RULES: readonly Rule[] = [
  { rule: 'keep-out', units: 'sources', fromSlot: 1, toSlot: 1 },
  { rule: 'not-next-to', units: { id: 'shelf' }, neighbours: { id: 'shelf' } },
  { rule: 'only-in-band', units: { id: 'node' }, fromSlot: 2, toSlot: 5 },
];

function familyOf(study: Study, book: RuleBook, mayLeaveEmpty: boolean): LoadFamily {
  const options = study.catalogue.loads.filter(({ id }) => id !== 'triple').map(({ id }) => {
    const type = book.types.load(id, 'test');
    const power = whole(0, 1) === 0 ? { min: whole(0, 4), max: whole(4, 7) } : { min: 3, max: 3 };
    return { type, heightSlots: type.heightSlots, bottoms: permittedBottoms(book, type.index, type.heightSlots), power };
  });
  const min = whole(5, 8);
  return {
    options, total: { min, max: min + whole(0, 2) }, counts: false, mayLeaveEmpty, leastPerSlot: 0, freeSlots: 0, atOneEnd: null,
  };
}

/** All places, or some of them. */
function places(from: number, to: number, slotCount: number): { min: number; max: number } {
  return whole(0, 1) === 0 ? { min: 1, max: slotCount } : { min: whole(from, to), max: whole(to, slotCount) };
}

function randomPositions(units: readonly { count: number }[], slotCount: number): SourcePositions {
  const count = units.reduce((sum, one) => sum + one.count, 0);
  const kind = whole(0, 3);
  if (kind === 0 || (kind === 1 && count === 1)) return { draw: 'uniform' };
  if (kind === 1) return { draw: 'groups', sizes: [1, count - 1] };
  if (kind === 2) return { draw: 'contiguous' };
  return { draw: 'bands', bands: [{ fromSlot: 1, toSlot: 3, count: 1 }, { fromSlot: 4, toSlot: slotCount, count: count - 1 }] };
}

function randomCase(turn: number): Case {
  const base = smallStudy(turn);
  const slotCount = whole(5, 6);
  const rule = (['all-in-service', 'one-source-out', 'batteries-alone'] as const)[turn % 3] satisfies OperatingStateRule;
  const units = [
    { id: 'shelf', count: rule === 'one-source-out' ? 2 : whole(1, 2) }, { id: 'tall-shelf', count: turn % 2 },
    { id: 'battery', count: rule === 'batteries-alone' ? 1 : 0 },
  ].filter(({ count }) => count > 0);
  const study: Study = {
    ...base, rack: { ...base.rack, slotCount }, sources: { units, positions: randomPositions(units, slotCount) },
    rules: whole(0, 1) === 0 ? [] : [SOURCE_RULES[whole(0, 2)]],
  };
  const book = ruleBook(study);
  const program = new PlacementProgram(study, book, rule, [1, 2]);
  const bins = whole(4, 7);
  const array = (length: number) => Float64Array.from({ length }, () => number(-1, 3));
  const family = familyOf(study, book, turn % 4 !== 3);
  return {
    study, book, program, bins,
    part: { family, total: family.total, lowestSource: places(1, 3, slotCount), highestSource: places(2, 4, slotCount) },
    terms: {
      segment: Array.from({ length: program.inService + 1 }, () => array((bins + 1) * (slotCount - 1))),
      source: program.pieces.map(() => array(slotCount)), idleSource: program.pieces.map(() => array(slotCount)),
      loadOffset: family.options.map(() => array(slotCount)), loadSlope: family.options.map(() => array(slotCount)),
    },
  };
}

/** Every choice of the sources in service. */
function* states({ program, book }: Case, sources: readonly RuledUnit[]): Generator<Step[]> {
  const steps = sources.map(({ equipment, bottomSlot, heightSlots }): Step => {
    const piece = program.pieces.findIndex(({ unitType }) => unitType.id === equipment);
    const contact = bottomSlot + book.types.source(equipment, 'test').contactSlot - 1;
    const active = (equipment === 'battery') === (program.rule === 'batteries-alone');
    return { bottom: bottomSlot, heightSlots, contact, piece, active, option: -1, moved: 0 };
  });
  if (program.rule !== 'one-source-out') yield steps;
  else {
    for (const out of steps.filter(({ active }) => active)) yield steps.map((one) => (one === out ? { ...one, active: false } : one));
  }
}

/** Every way to fill the slots that sources leave with loads whose bins end at all of the load. */
function* paths({ part, bins, book }: Case, sources: readonly Step[]): Generator<Step[]> {
  const { family, total } = part;
  function* from(slot: number, bin: number, before: readonly Step[]): Generator<Step[]> {
    if (slot > book.slotCount) {
      if (bin === bins) yield [...before];
      return;
    }
    const source = sources.find(({ bottom }) => bottom === slot);
    if (source !== undefined) {
      yield* from(slot + source.heightSlots, bin, [...before, source]);
      return;
    }
    if (family.mayLeaveEmpty) yield* from(slot + 1, bin, before);
    for (const [option, { type, heightSlots, bottoms, power }] of family.options.entries()) {
      const covered = sources.some(({ bottom }) => bottom >= slot && bottom < slot + heightSlots);
      if (covered || bottoms[slot] === 0 || slot + heightSlots - 1 > book.slotCount || power.min > total.max) continue;
      const least = Math.floor((bins * power.min) / total.max + 1e-9);
      const most = Math.ceil(Math.min(bins, (bins * power.max) / total.min) - 1e-9);
      for (let moved = least; moved <= most && bin + moved <= bins; moved++) {
        const contact = slot + type.contactSlot - 1;
        yield* from(slot + heightSlots, bin + moved, [...before, { bottom: slot, heightSlots, contact, piece: -1, active: false, option, moved }]);
      }
    }
  }
  yield* from(1, 0, []);
}

function inClass({ part }: Case, steps: readonly Step[]): boolean {
  const contacts = steps.filter(({ active }) => active).map(({ contact }) => contact);
  const [lowest, highest] = [Math.min(...contacts), Math.max(...contacts)];
  return lowest >= part.lowestSource.min && lowest <= part.lowestSource.max
    && highest >= part.highestSource.min && highest <= part.highestSource.max;
}

/** Sum of the terms along a path, each load's share the best that its bins leave. */
function sumOf({ terms, part, bins, book }: Case, steps: readonly Step[]): number {
  let sum = 0;
  for (const { contact, piece, active, option, moved } of steps) {
    if (piece >= 0) {
      sum += (active ? terms.source : terms.idleSource)[piece][contact - 1];
      continue;
    }
    const { power } = part.family.options[option];
    const least = Math.max(power.min / part.total.max, (moved - 1) / bins);
    const most = Math.min(1, power.max / part.total.min, (moved + 1) / bins);
    const slope = terms.loadSlope[option][contact - 1];
    sum += terms.loadOffset[option][contact - 1] + Math.max(slope * least, slope * most);
  }
  for (let slot = 1; slot < book.slotCount; slot++) {
    const below = steps.filter(({ contact }) => contact <= slot);
    const bin = below.reduce((all, { moved }) => all + moved, 0);
    sum += terms.segment[below.filter(({ active }) => active).length][(slot - 1) * (bins + 1) + bin];
  }
  return sum;
}

function mostOfAll(given: Case): number {
  let most = Number.NEGATIVE_INFINITY;
  for (const sources of sourceArrangementsOf(given.study, given.book, () => {})) {
    for (const state of states(given, sources)) {
      if (!inClass(given, state)) continue;
      for (const path of paths(given, state)) most = Math.max(most, sumOf(given, path));
    }
  }
  return most;
}

/** The option of a family that a load is, with its power as the family counts it; null where it is none of them. */
function optionOf(family: LoadFamily, total: PlacementClass['total'], unit: PlacedUnit): { option: number; power: number } | null {
  const power = family.counts ? 1 : unit.power;
  const option = family.options.findIndex(({ type, heightSlots, bottoms }, o) => {
    const { min, max } = powerWithin(family, total, o);
    return type.id === unit.equipment && heightSlots === unit.heightSlots && bottoms[unit.bottomSlot] === 1
      && power >= min * (1 - 1e-9) && power <= max * (1 + 1e-9);
  });
  return option < 0 ? null : { option, power };
}

/**
 * Terms that reward each step of one placement by 1 and everything else by nothing, and how much it earns: no other
 * placement earns as much, so that the program comes to it only where the placement's own path is among its paths.
 */
function rewardsOf(
  program: PlacementProgram, part: PlacementClass, bins: number, slotCount: number, scenario: Scenario, state: OperatingState,
): { terms: ProgramTerms; earned: number } | null {
  const { family, total } = part;
  const blank = (length: number) => Float64Array.from({ length }, () => 0);
  const terms: ProgramTerms = {
    segment: Array.from({ length: program.inService + 1 }, () => blank((bins + 1) * (slotCount - 1))),
    source: program.pieces.map(() => blank(slotCount)), idleSource: program.pieces.map(() => blank(slotCount)),
    loadOffset: family.options.map(() => blank(slotCount)), loadSlope: family.options.map(() => blank(slotCount)),
  };
  let [earned, source] = [0, 0];
  const loads: { contactSlot: number; power: number }[] = [];
  const fed: number[] = [];
  for (const unit of scenario.units) {
    const at = unit.contactSlot - 1;
    earned++;
    if (unit.kind === 'load') {
      const found = optionOf(family, total, unit);
      if (found === null) return null;
      terms.loadOffset[found.option][at] = 1;
      loads.push({ contactSlot: unit.contactSlot, power: found.power });
    } else {
      const piece = program.pieces.findIndex(({ unitType }) => unitType.id === unit.equipment);
      const active = state.active[source++] === 1;
      if (active) fed.push(unit.contactSlot);
      (active ? terms.source : terms.idleSource)[piece][at] = 1;
    }
  }
  const sum = loads.reduce((all, { power }) => all + power, 0);
  if (sum < total.min * (1 - 1e-9) || sum > total.max * (1 + 1e-9)) return null;
  for (let slot = 1; slot < slotCount; slot++) {
    const below = loads.filter(({ contactSlot }) => contactSlot <= slot).reduce((all, { power }) => all + power, 0);
    const bin = Math.floor((below / sum) * bins + 1e-9);
    terms.segment[fed.filter((contact) => contact <= slot).length][(slot - 1) * (bins + 1) + bin] = 1;
    earned++;
  }
  return { terms, earned };
}

describe('the program over all placements', () => {
  it('has the path of every drawn placement among its paths, whatever the draw, state and bins', () => {
    const kinds = new Set<string>();
    let whole = 0;
    for (let seed = 0; seed < 140; seed += 2) {
      const study = smallStudy(seed);
      const book = ruleBook(study);
      const families = loadFamilies(study, book);
      const heights = families.flatMap(({ options }) => options.map(({ heightSlots }) => heightSlots));
      const source = scenarioSource(study);
      const { slotCount } = study.rack;
      const programs = study.rack.operatingStates.map((rule) => new PlacementProgram(study, book, rule, heights));
      kinds.add(study.loads.draw);
      for (let index = 0; index < 4; index++) {
        const { scenario } = source.draw(index);
        const drawn = scenario.units.reduce((sum, { power }) => sum + power, 0);
        for (const state of operatingStates(study.rack, scenario)) {
          const program = programs[study.rack.operatingStates.indexOf(state.rule)];
          const all = { min: 1, max: slotCount };
          const missed = families.map((family) => {
            const narrow = family.counts || index % 2 === 0 ? family.total
              : { min: Math.max(family.total.min, 0.99 * drawn), max: Math.min(family.total.max, 1.01 * drawn) };
            const part = { family, total: narrow, lowestSource: all, highestSource: all };
            const bins = index < 2 ? 100 : 37;
            const rewards = rewardsOf(program, part, bins, slotCount, scenario, state);
            if (rewards === null) return Number.POSITIVE_INFINITY;
            if (!family.mayLeaveEmpty) whole++;
            return rewards.earned - program.most(rewards.terms, part, bins);
          });
          expect(Math.min(...missed), `seed ${seed}, ${study.loads.draw}, scenario ${index}`).toBeLessThan(1e-9);
        }
      }
    }
    expect(kinds.size).toBe(6);
    expect(whole).toBeGreaterThan(5);
  });

  it('comes to the most of all paths written out, and traces one that comes to it', () => {
    let some = 0;
    for (let turn = 0; turn < 120; turn++) {
      const given = randomCase(turn);
      const { program, terms, part, bins } = given;
      const expected = mostOfAll(given);
      expect(program.most(terms, part, bins), `turn ${turn}`).toBeCloseTo(expected, 9);
      if (expected === Number.NEGATIVE_INFINITY) continue;
      some++;
      expect(program.most(terms, part, bins, true)).toBeCloseTo(expected, 9);
      const traced = program.tracedPlacement();
      expect(traced.map(({ bottomSlot }) => bottomSlot)).toEqual(traced.map(({ bottomSlot }) => bottomSlot).sort((a, b) => a - b));
      for (const { piece, option } of traced) expect(Math.min(piece, option)).toBe(-1);
      const steps = traced.map(({ piece, option, bottomSlot, share, inService }): Step => {
        const type = piece >= 0 ? program.pieces[piece].unitType : part.family.options[option].type;
        const contact = bottomSlot + type.contactSlot - 1;
        return { bottom: bottomSlot, heightSlots: type.heightSlots, contact, piece, active: inService, option, moved: Math.round(share * bins) };
      });
      expect(sumOf(given, steps), `turn ${turn}`).toBeCloseTo(expected, 9);
      expect(steps.reduce((all, { moved }) => all + moved, 0)).toBe(bins);
      expect(inClass(given, steps)).toBe(true);
    }
    expect(some).toBeGreaterThan(30);
  });

  it('keeps a full rack whose lowest loads have their contacts at the top', () => {
    const base = smallStudy(0);
    const high = base.catalogue.loads.map((load) => ({ ...load, contactSlot: load.heightSlots }));
    const study: Study = {
      ...base, rules: [], rack: { ...base.rack, slotCount: 6 }, catalogue: { ...base.catalogue, loads: high },
      sources: { units: [{ id: 'shelf', count: 1 }], positions: { draw: 'uniform' } },
    };
    const book = ruleBook(study);
    const options = ['node', 'double', 'triple'].map((id) => {
      const type = book.types.load(id, 'test');
      const power = { min: type.heightSlots, max: type.heightSlots };
      return { type, heightSlots: type.heightSlots, bottoms: permittedBottoms(book, type.index, type.heightSlots), power };
    });
    // Each slot holds 1 of 5, and no slot stays empty: what lies up to a slot is known but for the sources.
    const family: LoadFamily = {
      options, total: { min: 5, max: 5 }, counts: false, mayLeaveEmpty: false, leastPerSlot: 1, freeSlots: 5, atOneEnd: null,
    };
    const part = { family, total: family.total, lowestSource: { min: 1, max: 6 }, highestSource: { min: 1, max: 6 } };
    const program = new PlacementProgram(study, book, 'all-in-service', [1, 2, 3]);
    const at = (id: string, bottomSlot: number, power: number) => ({ id, bottomSlot, power });
    for (const placed of [[at('shelf', 1, 0), at('triple', 2, 3), at('double', 5, 2)], [at('triple', 1, 3), at('shelf', 4, 0), at('double', 5, 2)]]) {
      const units = unitsOf(study)(placed.map(({ id, bottomSlot, power }) => ({
        kind: id === 'shelf' ? 'power-shelf' : 'load', equipment: id, bottomSlot, power,
        heightSlots: id === 'shelf' ? 1 : book.types.load(id, 'test').heightSlots,
      })));
      const scenario: Scenario = { index: 0, units, build: NOMINAL_BUILD };
      const [state] = operatingStates({ ...study.rack, operatingStates: ['all-in-service'] }, scenario);
      for (const bins of [5, 20, 33]) {
        const rewards = rewardsOf(program, part, bins, 6, scenario, state);
        if (rewards === null) throw new Error('every load is among the options');
        expect(program.most(rewards.terms, part, bins)).toBeCloseTo(rewards.earned, 9);
      }
    }
  });
});
