/** Words about small racks whose currents, temperatures and best changes can be told beforehand. */
import { describe, expect, it } from 'vitest';
import { NOMINAL_BUILD, type PlacedUnit } from '../../lib/draw/index.js';
import { RackModel, type RatedPower } from '../../lib/ladder/index.js';
import type { SourcePositions, Study } from '../../lib/rack/index.js';
import { bestRelief, explainWorst } from '../../lib/worst/index.js';
import { unitsOf } from '../../lib/worst/enumeratePlacements.js';
import { plainPole, sampleRack } from '../ladder/sampleRack.js';
import { smallStudy } from './smallStudies.js';

type Standing = readonly (readonly [equipment: 'shelf' | 'node' | 'double', bottomSlot: number, power?: number])[];

/** Nodes of one slot and doubles of two, put anywhere, beside shelves of one slot; a bar rise of 30 K binds. */
function studyOf(slotCount: number, standing: Standing, positions: SourcePositions = { draw: 'uniform' }, change: Partial<Study['rack']> = {}): Study {
  const study = smallStudy(6);
  const heightOf = (id: string) => (id === 'double' ? 2 : 1);
  const units = standing.filter(([id]) => id !== 'shelf').map(([equipment, bottomSlot, power = 0]) => (
    { equipment, heightSlots: heightOf(equipment), bottomSlot, power }));
  const unlimited = { maxCurrent: Infinity, maxPower: Infinity };
  return {
    ...study, rack: { ...sampleRack({ slotCount, pitch: 0.2 }), ...change }, rules: [],
    catalogue: {
      ...study.catalogue,
      sources: study.catalogue.sources.map((type) => ({ ...type, ...unlimited, contactSlot: 1 })),
      loads: study.catalogue.loads.map((type) => ({
        ...type, contactSlot: 1, contact: { ...type.contact, resistance: 2e-5, heatShare: 1, thermalResistance: 0, edgeHeight: 0.02 },
      })),
    },
    sources: { units: [{ id: 'shelf', count: standing.length - units.length }], positions },
    loads: { draw: 'inventory', racks: [{ rack: 'one', units }], places: 'shuffled' },
  };
}

function placementOf(study: Study, standing: Standing) {
  const ruled = standing.map(([equipment, bottomSlot, power = 0]) => ({
    kind: equipment === 'shelf' ? 'power-shelf' as const : 'load' as const, equipment, bottomSlot,
    heightSlots: equipment === 'double' ? 2 : 1, power,
  }));
  const scenario = { index: 0, units: unitsOf(study)(ruled), build: NOMINAL_BUILD };
  return { scenario, rated: new RackModel(study.rack).rate(scenario) };
}

const told = (units: readonly PlacedUnit[]) => units.map(({ equipment, bottomSlot, power }) => (
  power > 0 ? [equipment, bottomSlot, power] : [equipment, bottomSlot]));
/** Volts that loads farther from the feed lose more of. */
const VOLTS = { limits: { ...sampleRack().limits, barRise: Infinity, lowestLoadVoltage: 49.5 } };
const reliefOf = (slotCount: number, standing: Standing, positions?: SourcePositions, change?: Partial<Study['rack']>) => {
  const study = studyOf(slotCount, standing, positions, change);
  const placement = placementOf(study, standing);
  const relief = bestRelief(study, placement);
  if (relief !== null) {
    expect(new RackModel(study.rack).rate(relief.scenario).power - placement.rated.power).toBeCloseTo(relief.freed, 6);
    for (const { bottomSlot, contactSlot } of relief.scenario.units) expect(contactSlot).toBe(bottomSlot);
  }
  return relief && { words: relief.words, units: told(relief.scenario.units), freed: relief.freed };
};
const fixedAt = (...slots: readonly number[]): SourcePositions => ({ draw: 'fixed', units: slots.map((bottomSlot) => ({ id: 'shelf', bottomSlot })) });

describe('the change that frees most', () => {
  it('moves the sources between the loads, an empty slot staying where it was', () => {
    expect(reliefOf(6, [['shelf', 1], ['double', 2, 4000], ['double', 5, 4000]])).toMatchObject({
      words: 'moving the sources up by 3 slots', units: [['double', 2, 4000], ['shelf', 4], ['double', 5, 4000]],
    });
    expect(reliefOf(6, [['double', 1, 4000], ['double', 3, 4000], ['shelf', 6]])).toMatchObject({
      words: 'moving the sources down by 2 slots', units: [['double', 1, 4000], ['shelf', 4], ['double', 5, 4000]],
    });
  });

  it('moves the sources by one slot where the loads beside them are pushed on', () => {
    expect(reliefOf(3, [['shelf', 1], ['node', 2, 3000], ['node', 3, 3000]])).toMatchObject({
      words: 'moving the sources up by one slot', units: [['node', 1, 3000], ['shelf', 2], ['node', 3, 3000]],
    });
    expect(reliefOf(3, [['node', 1, 3000], ['node', 2, 3000], ['shelf', 3]])).toMatchObject({
      words: 'moving the sources down by one slot', units: [['node', 1, 3000], ['shelf', 2], ['node', 3, 3000]],
    });
  });

  it('moves the load strongest for its height to the nearest free slot, where sources stay', () => {
    expect(reliefOf(8, [['shelf', 1], ['node', 5, 1000], ['node', 8, 6000]], fixedAt(1), VOLTS)).toMatchObject({
      words: 'moving node from slot 8 to slot 2', units: [['shelf', 1], ['node', 2, 6000], ['node', 5, 1000]],
    });
    // A double of 6 kW draws less per slot than a node of 4 kW.
    expect(reliefOf(8, [['shelf', 1], ['double', 5, 6000], ['node', 8, 4000]], fixedAt(1), VOLTS)).toMatchObject({
      words: 'moving node from slot 8 to slot 2',
    });
    expect(reliefOf(8, [['shelf', 1], ['node', 5, 4000], ['double', 7, 6000]], fixedAt(1), VOLTS)).toMatchObject({
      words: 'moving node from slot 5 to slot 2',
    });
    expect(reliefOf(8, [['node', 1, 6000], ['node', 4, 1000], ['shelf', 8]], fixedAt(8), VOLTS)).toMatchObject({
      words: 'moving node from slot 1 to slot 7', units: [['node', 4, 1000], ['node', 7, 6000], ['shelf', 8]],
    });
    expect(reliefOf(8, [['double', 1, 6000], ['node', 3, 500], ['shelf', 8]], fixedAt(8), VOLTS)).toMatchObject({
      words: 'moving double from slot 1 to slot 6', units: [['node', 3, 500], ['double', 6, 6000], ['shelf', 8]],
    });
  });

  it('exchanges the strongest load with another one of its height in a full rack', () => {
    expect(reliefOf(4, [['shelf', 1], ['node', 2, 1000], ['node', 3, 1500], ['node', 4, 6000]], fixedAt(1), VOLTS)).toMatchObject({
      words: 'exchanging node at slot 4 with node at slot 2',
      units: [['shelf', 1], ['node', 2, 6000], ['node', 3, 1500], ['node', 4, 1000]],
    });
  });

  it('exchanges a load with a source where that frees more, and is none where nothing frees more than a thousandth', () => {
    expect(reliefOf(4, [['shelf', 1], ['shelf', 2], ['node', 4, 6000]])?.words).toBe('exchanging node at slot 4 with shelf at slot 2');
    expect(reliefOf(2, [['shelf', 1], ['node', 2, 3000]])).toBeNull();
  });
});

describe('the words', () => {
  const standing: Standing = [['shelf', 1], ['node', 5, 1000], ['node', 8, 6000]];
  const study = studyOf(8, standing, fixedAt(1));
  const placement = placementOf(study, standing);
  const { rated, scenario } = placement;
  const explained = (change: Partial<RatedPower>) => explainWorst(study, { scenario, rated: { ...rated, ...change } });
  const kilowatts = (rated.power / 1e3).toFixed(1);

  it('begin with the limit, the slot, the pole, the power and the operating state', () => {
    expect(explained({ limit: 'bar-rise', slot: 4, pole: 'return' })).toMatch(new RegExp(`^Bar rise at slot 4, return pole binds at ${kilowatts} kW\\. All`));
    expect(explained({ limit: 'bar-rise', slot: 4, pole: 'both' })).toMatch(new RegExp(`^Bar rise at slot 4 binds at ${kilowatts} kW\\.`));
    expect(explained({ limit: 'bar-rise', slot: 0, pole: 'supply' })).toMatch(new RegExp(`^Bar rise binds at ${kilowatts} kW\\.`));
    expect(explained({ power: 0, limit: 'bar-rise' })).toBe('It carries nothing: bar rise is reached before the smallest load.');
  });

  it('name an operating state other than with all in service', () => {
    const two: Standing = [['shelf', 1], ['shelf', 8], ['node', 4, 3000]];
    const out = studyOf(8, two, fixedAt(1, 8), { operatingStates: ['one-source-out'] });
    expect(explainWorst(out, placementOf(out, two))).toMatch(/ kW \(.*slot [18].*\)\. All of its/);
  });

  it('tell the segment that carries most, with all of the current or its part', () => {
    const solution = new RackModel(study.rack).solutionAt(scenario, rated.power * (1 - 1e-6), rated.state);
    if (solution.status !== 'solved') throw new Error('must have a solution');
    const total = solution.units.reduce((sum, { unit, current }) => sum + (unit.kind === 'load' ? current : 0), 0);
    expect(explained({})).toContain(`All of its ${kilowatts} kW pass the bar between slots 1 and 2 (${total.toFixed(0)} A).`);
    // A fifth goes down from the shelf, four fifths up.
    const between: Standing = [['node', 1, 1000], ['shelf', 3], ['node', 6, 4000]];
    const parted = studyOf(6, between, fixedAt(3));
    expect(explainWorst(parted, placementOf(parted, between))).toMatch(/80 % of its current passes the bar between slots 3 and 4 \(\d+ A\)/);
    const below: Standing = [['node', 1, 4000], ['shelf', 4], ['node', 6, 1000]];
    const other = studyOf(6, below, fixedAt(4));
    expect(explainWorst(other, placementOf(other, below))).toMatch(/80 % of its current passes the bar between slots 1 and 2 \(\d+ A\)/);
  });

  it('tell the current and the temperatures of the contact in the binding slot, and nothing beside a slot without one', () => {
    const thin = studyOf(8, standing, fixedAt(1), { return: plainPole(8, { plates: { count: 1, depth: 0.187, thickness: 0.008, gap: 0 } }) });
    const { rated: low } = placementOf(thin, standing);
    const solution = new RackModel(thin.rack).solutionAt(scenario, low.power * (1 - 1e-6), low.state);
    if (solution.status !== 'solved') throw new Error('must have a solution');
    const { supplyHottest, supplyTemperature, returnHottest, returnTemperature, air, units } = solution;
    const words = (change: Partial<RatedPower>) => explainWorst(thin, { scenario, rated: { ...low, ...change } });
    const at8 = (pole: 'supply' | 'return') => {
      const [hottest, mean] = pole === 'supply' ? [supplyHottest[7], supplyTemperature[7]] : [returnHottest[7], returnTemperature[7]];
      return `The contact of node there carries ${units[2].current.toFixed(0)} A; the ${pole} bar is ${(hottest - air[7]).toFixed(1)} K above `
        + `the air beside it, ${(hottest - mean).toFixed(1)} K of that right at the contact.`;
    };
    expect(at8('supply')).not.toBe(at8('return').replace('return', 'supply'));
    expect(words({ slot: 8, pole: 'supply' })).toContain(at8('supply'));
    expect(words({ slot: 8, pole: 'return' })).toContain(at8('return'));
    expect(words({ slot: 8, pole: 'both' })).toContain(at8('return'));
    expect(words({ slot: 1, pole: 'both' })).toContain(`The contact of shelf there carries ${Math.abs(units[0].current).toFixed(0)} A; the return bar`);
    expect(words({ slot: 4, pole: 'both' })).not.toContain('contact of');
    expect(words({ slot: 0, pole: 'both' })).not.toContain('contact of');
  });

  it('end with the change that frees most, or with none', () => {
    const far = studyOf(8, standing, fixedAt(1), VOLTS);
    const farthest = placementOf(far, standing);
    const relief = bestRelief(far, farthest);
    expect(explainWorst(far, farthest).endsWith(` Moving node from slot 8 to slot 2 frees ${((relief?.freed ?? 0) / 1e3).toFixed(1)} kW.`)).toBe(true);
    const two: Standing = [['shelf', 1], ['node', 2, 3000]];
    const alone = studyOf(2, two);
    expect(explainWorst(alone, placementOf(alone, two))).toMatch(/ None of the single changes tried frees anything\.$/);
  });
});
