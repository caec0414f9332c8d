/** Where the numbers of a placement and of a rack come to lie. */
import { describe, expect, it } from 'vitest';
import { airProperties, churchillChuNusselt, NoFeedError, RackModel } from '../../lib/ladder/index.js';
import { Ladder } from '../../lib/ladder/ladder.js';
import type { Pole } from '../../lib/rack/model.js';
import { battery, COPPER, filmsOf, load, onePlate, plainPole, sampleRack, scenarioOf, shelf } from './sampleRack.js';

const rack = sampleRack({
  slotCount: 8, operatingStates: ['all-in-service', 'one-source-out'], supply: plainPole(8, { emissivity: 0.4 }), return: plainPole(8, { emissivity: 0.6 }),
  air: { inlet: 300, profile: [0, 1, 2, 3, 4, 5, 6, 7], exhaustRise: 0.002 },
});
const contact = (k: number) => ({
  contactResistance: [k * 1e-5, k * 2e-5] as const, contactThermalResistance: 0.1 * k, contactHeatShare: 1 / k, contactEdgeHeight: 0.01 * k,
  heatConductance: 0.2 * k, heatRise: 3 * k,
});
const scenario = scenarioOf([
  load(1, { ...contact(1), power: 1 }),
  shelf(2, { ...contact(2), sharingWeight: 0.9, maxCurrent: 100, maxPower: 5000, droopResistance: 1e-3 }),
  load(3, { ...contact(3), heightSlots: 3, contactSlot: 4, power: 3 }),
  battery(6, { ...contact(4), sharingWeight: 1.2, maxCurrent: 200, maxPower: 6000, droopResistance: 2e-3 }),
  shelf(7, { ...contact(5), sharingWeight: 1.1, maxCurrent: 300, maxPower: 7000, droopResistance: 3e-3 }),
], { contactFactor: 2 });

function mounted(of = scenario, on = rack) {
  const ladder = new Ladder(on);
  ladder.mount(of);
  return ladder;
}
const near = (values: readonly number[]) => values.map((value) => expect.closeTo(value, 12));

describe('a mounted placement', () => {
  it('has its loads and its sources in order of slot, with contacts times the factor of the build', () => {
    const { mounting: { loads, sources, ...mounting } } = mounted();
    expect([loads.count, sources.count]).toEqual([2, 3]);
    expect([...loads.node.subarray(0, 2), ...sources.node.subarray(0, 3)]).toEqual([0, 3, 1, 5, 6]);
    expect([...loads.resistance.subarray(0, 4)]).toEqual(near([2e-5, 4e-5, 6e-5, 12e-5]));
    expect([...sources.resistance.subarray(0, 6)]).toEqual(near([4e-5, 8e-5, 8e-5, 16e-5, 10e-5, 20e-5]));
    expect([loads.pairResistance(0), loads.pairResistance(1), sources.pairResistance(2)]).toEqual(near([6e-5, 18e-5, 30e-5]));
    expect([...loads.thermalResistance.subarray(0, 2), ...sources.thermalResistance.subarray(0, 3)]).toEqual(near([0.1, 0.3, 0.2, 0.4, 0.5]));
    expect([...loads.heatShare.subarray(0, 2), ...sources.heatShare.subarray(0, 3)]).toEqual(near([1, 1 / 3, 1 / 2, 1 / 4, 1 / 5]));
    expect([...loads.edgeHeight.subarray(0, 2), ...sources.edgeHeight.subarray(0, 3)]).toEqual(near([0.01, 0.03, 0.02, 0.04, 0.05]));
    expect([...mounting.share.subarray(0, 2)]).toEqual([0.25, 0.75]);
    expect([...mounting.sharingWeight.subarray(0, 3)]).toEqual([0.9, 1.2, 1.1]);
    expect([...mounting.maxCurrent.subarray(0, 3)]).toEqual([100, 200, 300]);
    expect([...mounting.maxPower.subarray(0, 3)]).toEqual([5000, 6000, 7000]);
    expect([...mounting.droopResistance.subarray(0, 3)]).toEqual([1e-3, 2e-3, 3e-3]);
    expect([...mounting.loadAt]).toEqual([0, -1, -1, 1, -1, -1, -1, -1]);
    expect([...mounting.sourceAt]).toEqual([-1, 0, -1, -1, -1, 1, 2, -1]);
  });

  it('has air and heat paths slot by slot', () => {
    const { mounting } = mounted();
    expect([...mounting.airBase]).toEqual([300, 301, 302, 303, 304, 305, 306, 307]);
    expect([...mounting.airSlope]).toEqual(near([5e-4, 0, 5e-4, 5e-4, 5e-4, 0, 0, 0]));
    expect([...mounting.unitConductance]).toEqual(near([0.2, 0.4, 0, 0.6, 0, 0.8, 1, 0]));
    expect([...mounting.unitRise]).toEqual(near([3, 6, 0, 9, 0, 12, 15, 0]));
  });

  it('takes inlet and emissivity from the build where that has them, also where they are 0', () => {
    const emissivityOf = (ladder: Ladder) => [...ladder.thermal.emissivity.subarray(0, 16)];
    const nominal = Array.from({ length: 16 }, (_, e) => (e % 2 === 0 ? 0.4 : 0.6));
    expect(emissivityOf(mounted())).toEqual(nominal);
    const built = mounted(scenarioOf(scenario.units, { inlet: 310, emissivity: 0 }));
    expect(built.mounting.airBase[2]).toBe(312);
    expect(emissivityOf(built)).toEqual(new Array(16).fill(0));
    built.mount(scenario);
    expect(built.mounting.airBase[2]).toBe(302);
    expect(emissivityOf(built)).toEqual(nominal);
  });

  it('has the states of its sources', () => {
    const ladder = mounted();
    expect(ladder.states).toEqual([
      { rule: 'all-in-service', outSlot: 0, active: [1, 0, 1] }, { rule: 'one-source-out', outSlot: 2, active: [0, 0, 1] },
      { rule: 'one-source-out', outSlot: 7, active: [1, 0, 0] },
    ]);
    const out = { ...contact(1), heightSlots: 2, contactSlot: 6 };
    ladder.mount(scenarioOf([load(1), shelf(5, out), shelf(8)]));
    expect(ladder.states.map(({ outSlot }) => outSlot)).toEqual([0, 6, 8]);
    expect([ladder.mounting.loads.count, ladder.mounting.sources.count]).toEqual([1, 2]);
  });

  it('that cannot be laid out says which unit and where', () => {
    const refused = (units: Parameters<typeof scenarioOf>[0]) => () => mounted({ ...scenarioOf(units), index: 5 });
    expect(refused([shelf(1), load(2, { power: 0 })])).toThrow(NoFeedError);
    expect(refused([shelf(1), load(2), load(7, { heightSlots: 3, equipment: 'tall' })])).toThrow('unit tall at slot 7 leaves the rack of 8 slots');
    expect(refused([shelf(1), load(2), load(3, { contactSlot: 1 })])).toThrow('two contacts in slot 1');
  });

  it('is an error where the kernel ends in a way that is not known', () => {
    const ladder = new Ladder(rack);
    Object.defineProperty(ladder.kernel, 'call', { value: { ...ladder.kernel.call, mount: () => 9 } });
    let thrown: unknown = null;
    try {
      ladder.mount(scenario);
    } catch (error) {
      thrown = error;
    }
    expect(thrown).toBeInstanceOf(Error);
    expect(thrown).toMatchObject({ message: 'the kernel ended mounting with 9' });
  });
});

describe('a compiled rack', () => {
  const section = (fromSlot: number, toSlot: number, depth: number) => ({
    fromSlot, toSlot, material: COPPER, plates: onePlate(depth, 0.005), emissivity: 0, openFaces: 2 as const });
  const poles: readonly [Pole, Pole] = [
    { sections: [section(1, 1, 0.08), section(2, 4, 0.05)], joints: [{ aboveSlot: 1, resistance: 1e-5 }, { aboveSlot: 2, resistance: 2e-5 }] },
    { sections: [section(1, 3, 0.06), section(4, 4, 0.1)], joints: [{ aboveSlot: 3, resistance: 4e-5 }] },
  ];
  const pitch = 0.2;
  const split = sampleRack({ slotCount: 4, pitch, supply: poles[0], return: poles[1], limits: {}, air: { inlet: 300 } });
  const depths = [[0.08, 0.05, 0.05, 0.05], [0.06, 0.06, 0.06, 0.1]];
  const joints = [[1e-5, 2e-5, 0], [0, 0, 4e-5]];

  it('has the sections and joints of each pole where they are', () => {
    const model = new RackModel(split);
    const scenario = scenarioOf([shelf(1), load(3), load(4)]);
    const solution = model.solutionAt(scenario, 20_000, model.states(scenario)[0]);
    if (solution.status !== 'solved') throw new Error('20 kW are carried');
    let joule = 0;
    let convection = 0;
    const drops: number[] = [0, 0, 0];
    [solution.supplyTemperature, solution.returnTemperature].forEach((t, p) => {
      for (let i = 0; i < 4; i++) {
        const { conductivity, prandtl, rayleighFactor } = airProperties((t[i] + 300) / 2, 101_325);
        const height = 4 * pitch;
        const film = (conductivity / height) * churchillChuNusselt(rayleighFactor * (t[i] - 300) * height ** 3, prandtl);
        convection += film * 2 * (depths[p][i] + 0.005) * pitch * (t[i] - 300);
        if (i === 3) continue;
        const perArea = 1 / (depths[p][i] * 0.005) + 1 / (depths[p][i + 1] * 0.005);
        const bar = 0.5 * pitch * perArea * COPPER.resistivity20 * (1 + 0.00393 * ((t[i] + t[i + 1]) / 2 - 293.15));
        joule += solution.segmentCurrent[i] ** 2 * (bar + joints[p][i]);
        drops[i] += solution.segmentCurrent[i] * (bar + joints[p][i]);
      }
    });
    expect(solution.balance.jouleHeat / joule).toBeCloseTo(1, 9);
    expect(solution.balance.convection / convection).toBeCloseTo(1, 5);
    for (let i = 0; i < 3; i++) expect(solution.voltage[i] - solution.voltage[i + 1]).toBeCloseTo(drops[i], 9);
    // Without current above it the fourth node is warmed by conduction alone.
    expect(solution.segmentCurrent[2]).toBeGreaterThan(100);
  });

  it('conducts heat through the sections of each pole', () => {
    // A warm unit at the top and no load to speak of: what the bar loses below each segment comes down through it.
    const model = new RackModel({ ...split, films: filmsOf({ model: 'fixed', coefficient: 8 }) });
    const scenario = scenarioOf([shelf(1), load(2), load(4, { power: 0, heatConductance: 2, heatRise: 60 })]);
    const solution = model.solutionAt(scenario, 1e-3, model.states(scenario)[0]);
    if (solution.status !== 'solved') throw new Error('1 mW is carried');
    [solution.supplyTemperature, solution.returnTemperature].forEach((t, p) => {
      let lost = 0;
      for (let i = 0; i < 3; i++) {
        lost += 8 * 2 * (depths[p][i] + 0.005) * pitch * (t[i] - 300);
        const resistance = (0.5 * pitch * (1 / depths[p][i] + 1 / depths[p][i + 1])) / (0.005 * 391);
        expect((t[i + 1] - t[i]) / resistance / lost).toBeCloseTo(1, 6);
      }
    });
  });

  it('shares by droop or by weight, as it says', () => {
    const perfect = plainPole(3, { material: { ...COPPER, resistivity20: 1e-20 } });
    const scenario = scenarioOf([shelf(1, { droopResistance: 1e-3, sharingWeight: 2 }), load(2), shelf(3, { droopResistance: 4e-3 })]);
    for (const [model, part] of [['droop', 0.8], ['equal', 2 / 3]] as const) {
      const sharing = new RackModel(sampleRack({ slotCount: 3, supply: perfect, return: perfect, sharing: { model } }));
      const solution = sharing.solutionAt(scenario, 5000, sharing.states(scenario)[0]);
      if (solution.status !== 'solved') throw new Error('5 kW are carried');
      const [first, , last] = solution.units.map(({ current }) => current);
      expect(first / (first + last)).toBeCloseTo(part, 9);
    }
  });
});
