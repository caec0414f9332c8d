/** A placement that a program found, solved as a scenario of the ladder. */
import { describe, expect, it } from 'vitest';
import type { OperatingStateRule, Study } from '../../lib/rack/index.js';
import { ruleBook } from '../../lib/draw/ruleBook.js';
import { sourcePieces } from '../../lib/draw/sourcePieces.js';
import { RackModel } from '../../lib/ladder/index.js';
import type { Branch } from '../../lib/worst/branch.js';
import { unitsOf } from '../../lib/worst/enumeratePlacements.js';
import { loadFamilies } from '../../lib/worst/loadFamilies.js';
import { NearestPlacement } from '../../lib/worst/nearestPlacement.js';
import { toleranceRanges, worstBuild } from '../../lib/worst/toleranceRanges.js';
import { sampleRack } from '../ladder/sampleRack.js';
import { smallStudy } from './smallStudies.js';

const uniform = (min: number, max: number) => ({ distribution: 'uniform', min, max }) as const;
const base = smallStudy(0);
const rack = sampleRack({
  slotCount: 8, pitch: 0.1, operatingStates: ['one-source-out'], air: { inlet: 293, profile: [0, 1, 2, 3, 4, 5, 6, 7] },
});
const study: Study = {
  ...base, rack, rules: [], sources: { units: [{ id: 'shelf', count: 2 }], positions: { draw: 'uniform' } },
  loads: { draw: 'catalogue', totalPower: 9000, fill: 'anywhere' },
  uncertain: {
    perScenario: { contactFactor: uniform(1, 2), inlet: uniform(290, 300), filmFactor: uniform(0.8, 1) },
    sourceContact: null, loadContact: uniform(5e-5, 2e-4), sharingWeight: null,
  },
};
const ranges = toleranceRanges(study, 100);
const book = ruleBook(study);
const [family] = loadFamilies(study, book);
const option = (id: string) => family.options.findIndex(({ type }) => type.id === id);
const branchOf = (rule: OperatingStateRule) => ({ rule, program: { pieces: sourcePieces(study, book) }, family }) as unknown as Branch;
const source = (bottomSlot: number, inService: boolean) => ({ piece: 0, option: -1, bottomSlot, share: 0, inService });
const load = (id: string, bottomSlot: number, share: number) => ({ piece: -1, option: option(id), bottomSlot, share, inService: false });
const standing = (lower: boolean, upper: boolean) => [source(1, lower), load('node', 3, 0.3), load('double', 5, 0.7), source(8, upper)];
const nearest = new NearestPlacement(rack, ranges);

describe('the placement nearest to a limit', () => {
  const ruled = ([['power-shelf', 'shelf', 1, 1, 0], ['load', 'node', 3, 1, 0.3], ['load', 'double', 5, 2, 0.7], ['power-shelf', 'shelf', 8, 1, 0]] as const)
    .map(([kind, equipment, bottomSlot, heightSlots, power]) => ({ kind, equipment, bottomSlot, heightSlots, power }));
  const units = unitsOf(study)(ruled).map((unit) => (unit.kind === 'load' ? { ...unit, contactResistance: [2e-4, 2e-4] as const } : unit));
  const scenario = { index: 0, units, build: worstBuild(ranges, 300) };
  const solvedWith = (rule: OperatingStateRule, outSlot: number) => {
    const model = new RackModel({ ...rack, operatingStates: [rule] });
    const state = model.states(scenario).find((one) => one.outSlot === outSlot);
    if (state === undefined) throw new Error('must be a state');
    const solution = model.solutionAt(scenario, 20e3, state);
    if (solution.status !== 'solved') throw new Error('must have a solution');
    return [solution.supplyTemperature, solution.returnTemperature].map((pole) => [...pole].map((t, i) => t - 300 - i));
  };
  const risesOf = (rule: OperatingStateRule, lower: boolean, upper: boolean, power = 20e3) => (
    nearest.rises(branchOf(rule), standing(lower, upper), power)?.map((pole) => [...pole]) ?? null);

  it.each<[OperatingStateRule, boolean, boolean, number]>([
    ['all-in-service', true, true, 0], ['one-source-out', true, false, 8], ['one-source-out', false, true, 1],
  ])('is as warm above the air as the ladder says, contacts and build at their worst: %s, %s, %s', (rule, lower, upper, outSlot) => {
    const found = risesOf(rule, lower, upper);
    const wanted = solvedWith(rule, outSlot);
    expect(found).not.toBeNull();
    for (const p of [0, 1]) found?.[p].forEach((rise, i) => { expect(rise).toBeCloseTo(wanted[p][i], 9); });
    expect(Math.max(...wanted[0])).toBeGreaterThan(1);
  });

  it('is none where no operating state has these sources in service, or no current carries the power', () => {
    expect(risesOf('one-source-out', true, true)).toBeNull();
    expect(risesOf('all-in-service', true, false)).toBeNull();
    expect(risesOf('one-source-out', true, false, 1e8)).toBeNull();
  });
});
