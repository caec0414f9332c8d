/** Bounds on voltages and currents of narrow and wide classes, against drawn placements solved on the ladder. */
import { describe, expect, it } from 'vitest';
import { type Scenario, scenarioSource } from '../../lib/draw/index.js';
import { ruleBook } from '../../lib/draw/ruleBook.js';
import { type LadderSolution, operatingStates, type RatedPower, RackModel } from '../../lib/ladder/index.js';
import { compileSegments } from '../../lib/ladder/segments.js';
import type { Rack, Study } from '../../lib/rack/index.js';
import type { Branch } from '../../lib/worst/branch.js';
import { unitsOf } from '../../lib/worst/enumeratePlacements.js';
import { loadFamilies } from '../../lib/worst/loadFamilies.js';
import { PlacementElectrics } from '../../lib/worst/placementElectrics.js';
import { PlacementProgram } from '../../lib/worst/placementProgram.js';
import type { ToleranceRanges } from '../../lib/worst/toleranceRanges.js';
import { atEnds, builds, floorStudy, rangesOf } from './floorStudies.js';

const SEEDS = [1, 2, 3, 7, 9, 11, 15, 18, 22, 30, 32, 35, 37, 38, 40, 44, 52, 53, 55, 57];
const DRAWN = 6;

interface Solved {
  readonly scenario: Scenario;
  readonly rated: RatedPower;
  readonly solution: LadderSolution;
}

/** Sources so stiff that next to nothing is known of who feeds: the bar between them may turn the sharing any way. */
function stiffest(study: Study): Study {
  const sources = study.catalogue.sources.map((source) => (
    { ...source, droopResistance: 2e-6, contact: { ...source.contact, resistance: 1e-6 } }));
  return {
    ...study, catalogue: { ...study.catalogue, sources }, rules: [],
    rack: { ...study.rack, sharing: { model: 'droop' }, operatingStates: ['all-in-service'] },
    sources: { units: [{ id: 'shelf', count: 2 }], positions: { draw: 'uniform' } },
  };
}

function solvedAtRating(study: Study, ranges: ToleranceRanges): Solved[] {
  const source = scenarioSource(study);
  const model = new RackModel(study.rack);
  const ends = builds(ranges);
  return Array.from({ length: DRAWN }, (_, k) => k).flatMap((k): Solved[] => {
    const units = atEnds(unitsOf(study)(source.draw(k).scenario.units), ranges, k);
    const scenario: Scenario = { index: 0, units, build: ends[(3 * k) % ends.length] };
    const rated = model.rate(scenario);
    if (rated.power === 0) return [];
    return operatingStates(study.rack, scenario).flatMap((state) => {
      const solution = model.solutionAt(scenario, rated.power * (1 - 1e-6), state);
      return solution.status === 'solved' ? [{ scenario, rated, solution }] : [];
    });
  });
}

/** The class of a placement: its sources where they stand, or anywhere. */
function classesOf(study: Study, ranges: ToleranceRanges, { scenario, solution }: Solved): Branch[] {
  const book = ruleBook(study);
  const n = study.rack.slotCount;
  const program = new PlacementProgram(study, book, solution.state.rule, [1, 2, 3]);
  const contacts = scenario.units.filter(({ kind }) => kind !== 'load').filter((_, k) => solution.state.active[k] === 1)
    .map(({ contactSlot }) => contactSlot);
  const [lowest, highest] = [Math.min(...contacts), Math.max(...contacts)];
  const anywhere = { min: 1, max: n };
  const drawn = scenario.units.reduce((sum, { power }) => sum + power, 0);
  const count = scenario.units.filter(({ kind }) => kind === 'load').length;
  return loadFamilies(study, book).flatMap((family): Branch[] => {
    const total = family.counts ? count : drawn;
    if (total < family.total.min * (1 - 1e-9) || total > family.total.max * (1 + 1e-9)) return [];
    const part = {
      rule: solution.state.rule, program, family, carried: new Float64Array(2 * n), near: [new Float64Array(n), new Float64Array(n)],
      warmest: [solution.supplyTemperature, solution.returnTemperature], bins: 100, power: 0, limitedBy: '', byContact: false,
    } as const;
    const area = scenario.build.areaFactor;
    return [
      { ...part, total: family.total, lowestSource: anywhere, highestSource: anywhere, areaFactor: ranges.areaFactor },
      {
        ...part, total: { min: total, max: total }, lowestSource: { min: lowest, max: lowest }, highestSource: { min: highest, max: highest },
        areaFactor: { min: area, max: area },
      },
    ];
  });
}

/** Parts of the bounds that one solution takes up, 1 at the bound. */
function partsTaken(electrics: PlacementElectrics, branch: Branch, { solution }: Solved, rack: Rack) {
  const { setVoltage: set, limits: { loadContactCurrent: limit } } = rack;
  const { power, units, supplyHottest, returnHottest } = solution;
  const { voltage, currents } = electrics.at(branch, power);
  const step = electrics.contactStep(branch, currents);
  const loads = units.filter(({ unit }) => unit.kind === 'load' && unit.power > 0);
  const volts = loads.map((one) => one.voltage);
  const most = Math.max(...loads.map(({ current }) => current));
  const steps = units.flatMap(({ unit, contactTemperature: [supply, back] }) => (
    [supply - supplyHottest[unit.contactSlot - 1], back - returnHottest[unit.contactSlot - 1]]));
  return {
    drop: (set - Math.min(...volts)) / (set - voltage.min),
    lift: voltage.max > set ? (Math.max(...volts) - set) / (voltage.max - set) : Math.max(...volts) / set,
    source: Math.max(...units.filter(({ unit }) => unit.kind !== 'load').map(({ current }) => current)) / currents.largestSource,
    contact: step > 0 ? Math.max(...steps) / step : 0,
    // At its ceiling the largest load's contact carries no more than its limit.
    load: Number.isFinite(limit) ? (electrics.loadContactCeiling(branch, voltage.min) * most) / (power * limit) : 0,
  };
}

describe('the bounds on voltages and currents', () => {
  it('hold for every drawn placement, in the class of its own and in that of all, and come near', () => {
    const nearest: Record<string, number> = {};
    for (const [seed, isStiff] of [...SEEDS.map((one) => [one, false] as const), [2, true] as const, [7, true] as const, [40, true] as const]) {
      const base = isStiff ? stiffest(floorStudy(seed)) : floorStudy(seed);
      const { loads, rack } = base;
      const study = loads.draw === 'inventory' ? { ...base, loads: { ...loads, racks: loads.racks.slice(0, 1) } } : base;
      const ranges = rangesOf(study, seed);
      const alike = JSON.stringify(rack.supply) === JSON.stringify(rack.return);
      const poles = alike ? [rack.supply] : [rack.supply, rack.return];
      const electrics = new PlacementElectrics(study, ranges, poles.map((pole) => compileSegments(rack, pole)));
      for (const one of solvedAtRating(study, ranges)) {
        for (const branch of classesOf(study, ranges, one)) {
          const parts = partsTaken(electrics, branch, one, rack);
          expect(parts.source, `seed ${seed}`).toBeGreaterThan(0);
          for (const [what, part] of Object.entries(parts)) {
            if (Number.isNaN(part)) continue;
            expect(part, `seed ${seed}, ${what}`).toBeLessThan(1 + 1e-6);
            nearest[what] = Math.max(nearest[what] ?? 0, part);
          }
          const { limit, power } = one.rated;
          const isFeed = ['source-current', 'source-power', 'lowest-load-voltage'].includes(limit);
          if (isFeed && one.rated.state.rule === branch.rule) {
            const ceiling = electrics.feedCeiling(branch, 1.5 * power).power / power;
            expect(ceiling, `seed ${seed}, ${limit}`).toBeLessThan(1 + 1e-6);
            nearest[limit] = Math.max(nearest[limit] ?? 0, ceiling);
          }
        }
      }
    }
    for (const what of ['drop', 'source', 'contact', 'load', 'source-power', 'source-current']) {
      expect(nearest[what], what).toBeGreaterThan(0.99);
    }
  });
});
