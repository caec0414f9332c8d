/** What a class of placements claims, slot by slot, against drawn placements of that class solved on the ladder. */
import { describe, expect, it } from 'vitest';
import { type Scenario, scenarioSource } from '../../lib/draw/index.js';
import { type LadderSolution, type OperatingState, operatingStates, RackModel } from '../../lib/ladder/index.js';
import { compileSegments } from '../../lib/ladder/segments.js';
import type { Study } from '../../lib/rack/index.js';
import type { Branch } from '../../lib/worst/branch.js';
import { unitsOf } from '../../lib/worst/enumeratePlacements.js';
import { FloorSearch } from '../../lib/worst/floorSearch.js';
import { PlacementElectrics } from '../../lib/worst/placementElectrics.js';
import type { ToleranceRanges } from '../../lib/worst/toleranceRanges.js';
import { atEnds, builds, floorStudy, rangesOf } from './floorStudies.js';

/** Of every draw and both sharings, with and without ranges; some of their bounds are nearly reached. */
const SEEDS = [1, 3, 5, 7, 9, 11, 15, 18, 30, 35, 37, 38, 44, 53, 55];
const DRAWN = 10;
const CLASSES = 5;
/** Part by which the rating and the solution behind it may differ. */
const SLACK = 1e-6;

/** A study of one rack, so that powers alone tell a class, with all that may vary. */
function oneRack(seed: number): Study {
  const study = floorStudy(seed);
  const { loads } = study;
  const perScenario = {
    ...study.uncertain.perScenario, areaFactor: { distribution: 'uniform', min: 0.94, max: 1.04 } as const,
    emissivity: { distribution: 'uniform', min: 0.2, max: 0.7 } as const,
  };
  const varying = { ...study, uncertain: { ...study.uncertain, perScenario } };
  return loads.draw === 'inventory' ? { ...varying, loads: { ...loads, racks: loads.racks.slice(0, 1) } } : varying;
}

/** Air beside loads so warm, and its temperature so near to the limit, that what loads add grows with their power, not its square. */
function withExhaust(study: Study): Study {
  const { rack } = study;
  const limits = { ...rack.limits, barRise: 80, barTemperature: Math.max(...rack.air.profile) + 330, contactTemperature: 340 };
  return { ...study, rack: { ...rack, limits, air: { ...rack.air, exhaustRise: 4e-3 } } };
}

interface InState {
  readonly scenario: Scenario;
  readonly state: OperatingState;
}

interface Solved extends InState {
  readonly solution: LadderSolution;
}

/** Drawn placements, units and builds at ends of the ranges. */
function drawnScenarios(study: Study, ranges: ToleranceRanges): Scenario[] {
  const source = scenarioSource(study);
  const ends = builds(ranges);
  const nominal = unitsOf(study);
  return Array.from({ length: DRAWN }, (_, k): Scenario => (
    { index: 0, units: atEnds(nominal(source.draw(k).scenario.units), ranges, k), build: ends[(5 * k) % ends.length] }));
}

/** All of them in every operating state at a power that all carry. */
function solvedAt(study: Study, scenarios: readonly Scenario[], power: number): Solved[] {
  const model = new RackModel(study.rack);
  return scenarios.flatMap((scenario) => operatingStates(study.rack, scenario).map((state) => {
    const solution = model.solutionAt(scenario, power, state);
    if (solution.status !== 'solved') throw new Error('a placement has a solution below its rated power');
    return { scenario, state, solution };
  }));
}

function electricsOf(study: Study, ranges: ToleranceRanges): PlacementElectrics {
  const { rack } = study;
  const alike = JSON.stringify(rack.supply) === JSON.stringify(rack.return);
  const poles = alike ? [rack.supply] : [rack.supply, rack.return];
  return new PlacementElectrics(study, ranges, poles.map((pole) => compileSegments(rack, pole)));
}

function inClass(branch: Branch, { scenario, state }: InState): boolean {
  if (state.rule !== branch.rule) return false;
  const { family, total, lowestSource, highestSource, areaFactor } = branch;
  const area = scenario.build.areaFactor;
  if (area < areaFactor.min || area > areaFactor.max) return false;
  const loads = scenario.units.filter(({ kind }) => kind === 'load');
  const drawn = family.counts ? loads.length : loads.reduce((sum, { power }) => sum + power, 0);
  if (drawn < total.min * (1 - 1e-9) || drawn > total.max * (1 + 1e-9)) return false;
  const contacts = scenario.units.filter(({ kind }) => kind !== 'load').filter((_, k) => state.active[k] === 1)
    .map(({ contactSlot }) => contactSlot);
  const [lowest, highest] = [Math.min(...contacts), Math.max(...contacts)];
  return lowest >= lowestSource.min && lowest <= lowestSource.max && highest >= highestSource.min && highest <= highestSource.max;
}

/** Least part of a rise by which the class's temperatures stay above the solutions'. */
function roomAbove({ warmest }: Branch, inside: readonly Solved[]): number {
  let room = Number.POSITIVE_INFINITY;
  for (const { solution } of inside) {
    [solution.supplyTemperature, solution.returnTemperature].forEach((pole, p) => {
      pole.forEach((t, i) => {
        const rise = t - solution.air[i];
        if (rise > 2) room = Math.min(room, (warmest[p][i] - t) / rise);
      });
    });
  }
  return room;
}

/** How near the solutions come to the bounds on voltages, currents and contacts, 1 at the bound. */
function electricShares(electrics: PlacementElectrics, branch: Branch, below: number, inside: readonly Solved[]) {
  const { voltage, currents } = electrics.at(branch, below);
  const step = electrics.contactStep(branch, currents);
  const squares = currents.largestSquares(branch.bins);
  const shares = { low: 0, high: 0, source: 0, segment: 0, contact: 0 };
  const raise = (key: keyof typeof shares, share: number) => { shares[key] = Math.max(shares[key], share); };
  for (const { scenario, solution } of inside) {
    let power = 0;
    let fed = 0;
    const total = scenario.units.reduce((sum, unit) => sum + unit.power, 0);
    const hottest = [solution.supplyHottest, solution.returnHottest];
    const unitAt = new Map(solution.units.map((one) => [one.unit.contactSlot, one]));
    let source = 0;
    const active = new Map(solution.units.filter(({ unit }) => unit.kind !== 'load')
      .map((one) => [one.unit.contactSlot, solution.state.active[source++] === 1]));
    for (let slot = 1; slot <= solution.voltage.length; slot++) {
      const one = unitAt.get(slot);
      if (one !== undefined) {
        if (one.unit.kind === 'load') {
          power += one.unit.power;
          if (one.unit.power > 0) {
            raise('low', voltage.min / one.voltage);
            raise('high', one.voltage / voltage.max);
          }
        } else {
          if (active.get(slot)) fed++;
          raise('source', one.current / currents.largestSource);
        }
        one.contactTemperature.forEach((t, p) => {
          if (step > 0) raise('contact', (t - hottest[p][slot - 1]) / step);
        });
      }
      if (slot === solution.voltage.length) break;
      const bin = Math.min(branch.bins, Math.floor((power / total) * branch.bins * (1 + 1e-12)));
      const bound = squares[fed][bin];
      const current = solution.segmentCurrent[slot - 1];
      if (Math.abs(current) > 0.5) raise('segment', current ** 2 / bound);
    }
  }
  return shares;
}

/** The lowest class known, time and again split. */
function* lowestClasses(search: FloorSearch): Generator<Branch> {
  for (let k = 0; k < CLASSES; k++) {
    const branch = search.lowest();
    if (branch === null) return;
    yield branch;
    if (!search.refine(branch)) return;
  }
}

describe('a class of placements', () => {
  it('is nowhere warmer than it says, and its currents and voltages stay within its bounds', () => {
    let near = 0;
    const nearest = { low: 0, high: 0, source: 0, segment: 0, contact: 0 };
    for (const seed of SEEDS) {
      const study = oneRack(seed);
      const ranges = rangesOf(study, seed);
      const scenarios = drawnScenarios(study, ranges);
      const model = new RackModel(study.rack);
      const below = Math.min(...scenarios.map((scenario) => model.rate(scenario).power));
      const solved = solvedAt(study, scenarios, below * (1 - SLACK));
      const electrics = electricsOf(study, ranges);
      for (const branch of lowestClasses(new FloorSearch(study, ranges, below * 1.0001))) {
        const inside = solved.filter((one) => inClass(branch, one));
        const room = roomAbove(branch, inside);
        expect(room, `seed ${seed}`).toBeGreaterThan(-1e-4);
        if (room < 0.05) near++;
        const shares = electricShares(electrics, branch, below, inside);
        for (const what of ['low', 'high', 'source', 'segment', 'contact'] as const) {
          expect(shares[what], `seed ${seed}, ${what}`).toBeLessThan(1 + 1e-6);
          nearest[what] = Math.max(nearest[what], shares[what]);
        }
      }
    }
    // Bounds that are far too wide would pass the test above whatever they did.
    expect(near).toBeGreaterThan(10);
    for (const share of Object.values(nearest)) expect(share).toBeGreaterThan(0.998);
  });

  it.each([['as drawn', SEEDS, 1.2, 0.97], ['with much exhaust', [11, 18, 39, 53], 1.7, 0.9]] as const)(
    'carries what it says at the slot where a placement of it meets a limit, %s', (air, seeds, factor, close) => {
    let near = 0;
    for (const seed of seeds) {
      const study = air === 'as drawn' ? oneRack(seed) : withExhaust(oneRack(seed));
      const ranges = rangesOf(study, seed);
      const alike = JSON.stringify(study.rack.supply) === JSON.stringify(study.rack.return);
      const model = new RackModel(study.rack);
      const all = drawnScenarios(study, ranges).map((scenario) => ({ scenario, rated: model.rate(scenario) }));
      const search = new FloorSearch(study, ranges, factor * Math.min(...all.map(({ rated }) => rated.power)));
      for (const branch of lowestClasses(search)) {
        for (const { scenario, rated } of all) {
          if (!inClass(branch, { scenario, state: rated.state })) continue;
          const entry = 2 * (rated.slot - 1) + (rated.pole === 'return' && !alike ? 1 : 0);
          const isThermal = ['bar-rise', 'bar-temperature', 'contact-temperature'].includes(rated.limit);
          const said = isThermal ? branch.carried[entry] : Math.min(branch.power, search.ceiling);
          expect(said, `seed ${seed}, ${rated.limit}`).toBeLessThanOrEqual(rated.power * (1 + SLACK));
          if (said > close * rated.power) near++;
        }
      }
    }
    expect(near).toBeGreaterThan(10);
  });
});
