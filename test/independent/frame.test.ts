/**
 * How return current divides between the return pole and the frame, against the circuit simulator ngspice: three chains,
 * bonds, and units whose return side touches the frame, idle sources among them.
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { PlacedUnit } from '../../lib/draw/scenario.js';
import { RackModel } from '../../lib/ladder/index.js';
import type { Frame, Rack } from '../../lib/rack/model.js';
import { rackCase } from '../ladder/randomRack.js';
import { independentCase } from '../published/publishedCheck.js';
import { haveNgspice, NGSPICE, operatingPoint } from './ngspice.js';
import { sayWhy } from './python.js';
import { rackNetlist } from './rackNetlist.js';

const RACKS = 20;
/** Racks of the draw of which the simulator finds no operating point, however long it tries: they are not compared. */
const UNANSWERED = [9, 11, 20];
/** V and A: as far as both programs close; see ngspice.test.ts. */
const VOLTAGE_ALLOWED = 1e-8;
const CURRENT_ALLOWED = 1e-5;

sayWhy(haveNgspice, `ngspice is not installed; ${RACKS} racks with a frame are not compared with it`);

/** A frame and ground contacts for a random rack, from the numbers of its units. */
function withFrame(rack: Rack, units: readonly PlacedUnit[], seed: number): { rack: Rack; units: PlacedUnit[] } {
  const numbers = fc.sample(fc.double({ min: 0, max: 1, noNaN: true }), { numRuns: 3 * units.length + 8, seed });
  const next = () => numbers.pop() ?? 0.5;
  const between = (from: number, to: number) => from * (to / from) ** next();
  const frame: Frame = {
    resistancePerMetre: between(2e-5, 4e-4),
    bonds: [1, Math.ceil(rack.slotCount / 2), rack.slotCount].filter((_, k) => (seed + k) % 3 !== 0)
      .map((slot) => ({ slot, resistance: between(2e-5, 5e-4), maxCurrent: Number.POSITIVE_INFINITY })),
  };
  return {
    rack: { ...rack, frame },
    units: units.map((unit) => {
      const contactResistance = [Math.max(5e-6, unit.contactResistance[0]), Math.max(5e-6, unit.contactResistance[1])] as const;
      const grounded = next() < 0.7;
      return {
        ...unit, contactResistance, droopResistance: Math.max(1e-4, unit.droopResistance),
        ...(grounded ? { groundContact: { resistance: between(2e-5, 2e-3), maxCurrent: Number.POSITIVE_INFINITY } } : {}),
      };
    }),
  };
}

const largest = (ours: readonly number[], theirs: readonly number[]) => {
  expect(ours.length).toBe(theirs.length);
  return Math.max(0, ...theirs.map((value, i) => Math.abs(value - ours[i])));
};

describe.skipIf(!haveNgspice)('ngspice on both poles and the frame', () => {
  const cases = fc.sample(rackCase, { numRuns: 3 * RACKS, seed: 59 }).flatMap(({ rack: drawn, scenario: placed }, i) => {
    const { rack, units } = withFrame(
      { ...drawn, sharing: { model: i % 2 ? 'equal' : 'droop' }, operatingStates: ['all-in-service', 'one-source-out'] }, placed.units, i);
    const scenario = { ...placed, units };
    const model = new RackModel(rack);
    let rated: ReturnType<RackModel['rate']>;
    try {
      rated = model.rate(scenario);
    } catch {
      // Racks whose only power shelf is out have no feed.
      return [];
    }
    const solution = rated.power > 0 ? model.solutionAt(scenario, 0.95 * rated.power, rated.state) : null;
    return solution?.status === 'solved' ? [{ rack, scenario, solution }] : [];
  }).filter((_, i) => !UNANSWERED.includes(i)).slice(0, RACKS).map((one, i) => ({ ...one, name: `rack ${i + 1} with a frame, ${one.rack.sharing.model} sharing` }));

  it.each(cases)('$name', ({ name, rack, scenario, solution }) => {
    const { supplyTemperature, returnTemperature, frame, power, state } = solution;
    if (frame === null) throw new Error('expected a frame');
    const { lines, ...asked } = rackNetlist({ rack, scenario, state, power, supplyTemperature, returnTemperature });
    const { voltages, sourceCurrents, segmentCurrents, returnCurrents, groundCurrents, bondCurrents } = asked;
    const lists = [voltages, sourceCurrents, segmentCurrents, returnCurrents, groundCurrents, bondCurrents];
    const answers = operatingPoint(lines, lists.flat());
    const next = (list: readonly string[]) => answers.splice(0, list.length);
    const sources = solution.units.filter(({ unit }) => unit.kind !== 'load');
    const inService = sources.filter((_, k) => state.active[k] === 1);
    const grounded = [...solution.units.filter(({ unit }) => unit.kind === 'load'), ...inService,
      ...sources.filter((_, k) => state.active[k] !== 1)].flatMap(({ groundCurrent }) => (groundCurrent === null ? [] : [groundCurrent]));
    const compare = (quantity: string, ours: readonly number[], list: readonly string[], unit: 'V' | 'A') => {
      independentCase({
        program: NGSPICE, quantity: `${quantity}, ${name}`, unit, difference: largest(ours, next(list)),
        allowed: unit === 'V' ? VOLTAGE_ALLOWED : CURRENT_ALLOWED,
      });
    };
    compare('voltages', [...solution.voltage], voltages, 'V');
    compare('source currents', inService.map(({ current }) => current), sourceCurrents, 'A');
    compare('supply currents', [...solution.segmentCurrent], segmentCurrents, 'A');
    compare('return currents', [...frame.returnCurrent], returnCurrents, 'A');
    compare('ground contacts', grounded, groundCurrents, 'A');
    compare('bonds', frame.bonds.map(({ current }) => current), bondCurrents, 'A');
    expect(Math.abs(solution.balance.powerResidual)).toBeLessThan(1e-9 * solution.balance.sourcePower);
    expect(Math.abs(solution.balance.heatResidual)).toBeLessThan(1e-8 * solution.balance.heatIn);
  });

  it('compares every rack asked for, with idle sources that touch the frame among them', () => {
    expect(cases).toHaveLength(RACKS);
    const idle = cases.flatMap(({ solution }) => solution.units.filter(({ unit, current, groundCurrent }) =>
      unit.kind !== 'load' && current === 0 && groundCurrent !== null && Math.abs(groundCurrent) > 1e-3));
    expect(idle.length).toBeGreaterThan(0);
  });
});
