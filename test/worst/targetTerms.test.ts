/** What a slot gets from each part of a placement, against the placement solved on the ladder. */
import { describe, expect, it } from 'vitest';
import { NOMINAL_BUILD, type Scenario, scenarioSource } from '../../lib/draw/index.js';
import { ruleBook } from '../../lib/draw/ruleBook.js';
import { sourcePieces } from '../../lib/draw/sourcePieces.js';
import { type LadderSolution, operatingStates, RackModel } from '../../lib/ladder/index.js';
import type { Study } from '../../lib/rack/index.js';
import { Currents } from '../../lib/worst/currents.js';
import { unitsOf } from '../../lib/worst/enumeratePlacements.js';
import type { LoadOption } from '../../lib/worst/loadFamilies.js';
import { PoleBound } from '../../lib/worst/poleBound.js';
import { type TargetCase, targetTerms } from '../../lib/worst/targetTerms.js';
import { toleranceRanges } from '../../lib/worst/toleranceRanges.js';
import { worstContact } from '../../lib/worst/worstContact.js';
import { floorStudy } from './floorStudies.js';

const BINS = 400;
const KINDS = ['rise', 'bar', 'contact'] as const;

interface Solved {
  readonly study: Study;
  readonly scenario: Scenario;
  readonly solution: LadderSolution;
}

/** A drawn placement near the power that it carries, in the last of its operating states. */
function solved(seed: number): Solved | null {
  const study = floorStudy(seed);
  const units = unitsOf(study)(scenarioSource(study).draw(0).scenario.units);
  const scenario = { index: 0, units, build: NOMINAL_BUILD };
  const model = new RackModel(study.rack);
  const { power } = model.rate(scenario);
  const state = operatingStates(study.rack, scenario).at(-1);
  if (!(power > 0) || state === undefined) return null;
  const solution = model.solutionAt(scenario, 0.98 * power, state);
  return solution.status === 'solved' ? { study, scenario, solution } : null;
}

/** The bound with everything known of the one placement: only what the inequalities themselves give away is left. */
function boundOn({ study, scenario, solution }: Solved, p: number) {
  const { rack } = study;
  const ranges = toleranceRanges(study, null);
  const book = ruleBook(study);
  const n = rack.slotCount;
  const temperature = p === 0 ? solution.supplyTemperature : solution.returnTemperature;
  const hottest = p === 0 ? solution.supplyHottest : solution.returnHottest;
  const unloaded = Float64Array.from(rack.air.profile, (k) => rack.air.inlet + k);
  const rise = temperature.map((t, i) => t - solution.air[i]);
  const bound = new PoleBound({
    rack, pole: p === 0 ? rack.supply : rack.return, ranges, areaFactor: { min: 1, max: 1 },
    highestRise: new Float64Array(n).fill(Math.max(...hottest.map((t, i) => t - solution.air[i])) + 1),
    mostExhaust: Math.max(...solution.air.map((t, i) => t - unloaded[i])),
    coldestPath: Math.min(0, ...book.types.all.map(({ heatPath }) => heatPath.rise)),
  }, rise);
  const loads = solution.units.filter(({ unit }) => unit.kind === 'load' && unit.power > 0);
  const total = loads.reduce((sum, { unit }) => sum + unit.power, 0);
  const shares = loads.map(({ unit }) => unit.power / total);
  const options = loads.map(({ unit }): LoadOption => ({
    type: book.types.load(unit.equipment, 'test'), heightSlots: unit.heightSlots, bottoms: new Uint8Array(0), power: { min: 0, max: 0 },
  }));
  const pieces = sourcePieces(study, book);
  const fed = solution.units.filter(({ unit }) => unit.kind !== 'load').filter((_, k) => solution.state.active[k] === 1)
    .map(({ current }) => current);
  const voltages = loads.map(({ voltage }) => voltage);
  const given: Omit<TargetCase, 'slot' | 'kind'> = {
    bound, pieces, options, warmest: temperature, bins: BINS, exhaustRise: rack.air.exhaustRise,
    sourceContact: pieces.map(({ unitType }) => worstContact(unitType, ranges)),
    loadContact: options.map(({ type }) => worstContact(type, ranges)), largestShare: shares, smallestShare: shares,
    currents: new Currents(
      solution.power, { min: Math.min(...voltages), max: Math.max(...voltages) },
      { inService: fed.length, spread: Math.max(...fed) / Math.min(...fed) },
    ),
    // Met by any rise, so that the hot spot counts what its own unit's path brings.
    limit: -1e3,
    sourcePath: pieces.map(({ unitType }) => unitType.heatPath), loadPath: options.map(({ type }) => type.heatPath),
  };
  return { given, shares, loads, pieces, hottest, unloaded, scenario, solution };
}

/** K: the bound on one slot, and what the solution says. */
function compared(all: ReturnType<typeof boundOn>, p: number, slot: number, kind: TargetCase['kind']) {
  const { given, shares, loads, pieces, hottest, unloaded, solution } = all;
  const { terms, constant } = targetTerms({ ...given, slot, kind });
  let sum = constant;
  let source = 0;
  const fed: number[] = [];
  for (const { unit } of solution.units) {
    if (unit.kind === 'load') continue;
    const piece = pieces.findIndex(({ unitType }) => unitType.id === unit.equipment);
    const isActive = solution.state.active[source++] === 1;
    if (isActive) fed.push(unit.contactSlot);
    sum += (isActive ? terms.source : terms.idleSource)[piece][unit.contactSlot - 1];
  }
  loads.forEach(({ unit }, o) => {
    sum += terms.loadOffset[o][unit.contactSlot - 1] + terms.loadSlope[o][unit.contactSlot - 1] * shares[o];
  });
  for (let below = 1; below < hottest.length; below++) {
    const share = loads.reduce((part, { unit }, o) => part + (unit.contactSlot <= below ? shares[o] : 0), 0);
    const bin = Math.floor(share * BINS * (1 + 1e-12));
    sum += terms.segment[fed.filter((contact) => contact <= below).length][(below - 1) * (BINS + 1) + bin];
  }
  const contact = solution.units.find(({ unit }) => unit.contactSlot === slot + 1);
  const actual = kind === 'contact' && contact !== undefined ? contact.contactTemperature[p] - unloaded[slot]
    : hottest[slot] - (kind === 'rise' ? solution.air[slot] : unloaded[slot]);
  return { sum, actual };
}

describe('the terms of one placement', () => {
  it('add up to no less than any slot’s rise and contact’s, and to little more', () => {
    let [looked, near] = [0, 0];
    for (const seed of [1, 3, 5, 8, 9, 11, 14, 15, 18, 21, 26, 28, 30, 38, 39, 42, 44, 53, 55]) {
      const found = solved(seed);
      if (found === null) continue;
      for (const p of [0, 1]) {
        const all = boundOn(found, p);
        const n = all.hottest.length;
        for (const slot of [0, 1, n >> 1, n - 2, n - 1]) {
          for (const kind of KINDS) {
            const { sum, actual } = compared(all, p, slot, kind);
            expect(sum - actual, `seed ${seed}, slot ${slot + 1}, ${kind}`).toBeGreaterThan(-1e-6);
            looked++;
            if (sum < 1.1 * actual + 0.3) near++;
          }
        }
      }
    }
    expect(looked).toBeGreaterThan(500);
    // Most of them come within a tenth; what is left is given away where contacts are many and spreading is strong.
    expect(near).toBeGreaterThan(0.6 * looked);
  });

  it('count the heat path of the slot’s own unit in its hot spot unless the bar would be too cool for the limit', () => {
    let looked = 0;
    for (const seed of [1, 5, 9, 11, 15, 18, 21, 30, 38, 53]) {
      const found = solved(seed);
      if (found === null) continue;
      const { given } = boundOn(found, 0);
      const path = { conductance: 0.3, rise: 20 };
      const cases = { ...given, loadPath: given.loadPath.map(() => path), sourcePath: given.sourcePath.map(() => ({ conductance: 0, rise: 0 })) };
      const edges = [...given.sourceContact, ...given.loadContact].map(({ edgeHeight }) => edgeHeight).filter((height) => height > 0);
      const option = given.loadContact.findIndex(({ edgeHeight }) => edgeHeight > 0);
      if (option < 0) continue;
      const slot = 2;
      const { bound, currents, warmest } = given;
      const n = warmest.length;
      const felt = bound.spreading.mutual.subarray(slot * n, slot * n + n).reduce((sum, one) => sum + one, 0);
      const { middle } = bound.patch(slot, Math.min(...edges));
      const sheet = Math.max(...warmest.map((t, i) => bound.sheetResistance(i, t)));
      // Bar at the path's own 20 K, and above it what the hottest contact and 6 W by the path make of the hot spot.
      const heats = [
        ...given.sourceContact.map(({ resistance }) => ({ resistance, amperes: currents.largestSource })),
        ...given.loadContact.map(({ resistance }, o) => ({ resistance, amperes: given.largestShare[o] * currents.perShare })),
      ].map(({ resistance, amperes }) => amperes ** 2 * (resistance + sheet * (Math.max(0, middle) + felt)));
      const cool = 20 + bound.sheetThermal[slot] * (felt + middle) * (Math.max(...heats) + 6);
      const offset = (kind: TargetCase['kind'], limit: number) => (
        targetTerms({ ...cases, slot, kind, limit }).terms.loadOffset[option][slot]);
      const own = bound.sheetThermal[slot] * (bound.spreading.mutual[slot * n + slot] + middle) * 6;
      expect(offset('rise', cool * 0.999) - offset('rise', cool * 1.001), `seed ${seed}`).toBeCloseTo(own, 9);
      expect(own).toBeGreaterThan(0.01);
      // A limit on a temperature may be met by a cool bar in warm air.
      expect(offset('bar', cool * 1.001)).toBeCloseTo(offset('rise', cool * 0.999), 9);
      looked++;
    }
    expect(looked).toBeGreaterThan(2);
  });
});
