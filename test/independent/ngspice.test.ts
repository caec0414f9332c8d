/**
 * Currents and voltages of random racks against the circuit simulator ngspice, each pole a chain of its own. The ladder
 * solves one loop instead, by shooting.
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { PlacedUnit } from '../../lib/draw/scenario.js';
import { RackModel } from '../../lib/ladder/index.js';
import type { Rack } from '../../lib/rack/model.js';
import { rackCase } from '../ladder/randomRack.js';
import { independentCase } from '../published/publishedCheck.js';
import { haveNgspice, NGSPICE, operatingPoint } from './ngspice.js';
import { sayWhy } from './python.js';
import { rackNetlist } from './rackNetlist.js';

const DROOP_RACKS = 20;
const EQUAL_RACKS = 5;
/** Of the rated power: as far as a rack is used, yet off the voltage collapse, where any solver is at its worst. */
const POWER_SHARE = 0.95;
/**
 * V and A, where 50 V and up to 3000 A are solved by two programs that stop at 1e-9 and 1e-12 of them. Rounding of node
 * voltages (7e-15 V) across a fraction of a µΩ is 1e-7 A; a contact that is off by 1 % moves 1e-3 V.
 */
const VOLTAGE_ALLOWED = 1e-8;
const CURRENT_ALLOWED = 1e-5;

sayWhy(haveNgspice, `ngspice is not installed; ${DROOP_RACKS + EQUAL_RACKS} racks are not compared with it`);

function solved(sharing: Rack['sharing'], count: number, seed: number) {
  const found = fc.sample(rackCase, { numRuns: 3 * count, seed }).flatMap(({ rack: drawn, scenario: placed }, i) => {
    const rack: Rack = { ...drawn, sharing, operatingStates: [i % 2 ? 'one-source-out' : 'all-in-service'] };
    const scenario = { ...placed, units: unlikeShelves(placed.units) };
    const model = new RackModel(rack);
    const rated = model.rate(scenario);
    const power = POWER_SHARE * rated.power;
    if (!(power > 0)) return [];
    const solution = model.solutionAt(scenario, power, rated.state);
    return solution.status === 'solved' ? [{ rack, scenario, state: rated.state, power, solution }] : [];
  });
  return found.slice(0, count);
}

/**
 * All sources power shelves, each with another droop, so that two or three of them share the load. Contacts below 1 nΩ,
 * which the draw favours as edge cases, become none: their conductance beside the bar's would cost the simulator's
 * elimination its last digits.
 */
function unlikeShelves(units: readonly PlacedUnit[]): PlacedUnit[] {
  const orNone = (ohm: number) => (ohm < 1e-9 ? 0 : ohm);
  let sources = 0;
  return units.map((unit) => {
    const contactResistance = [orNone(unit.contactResistance[0]), orNone(unit.contactResistance[1])] as const;
    if (unit.kind === 'load') return { ...unit, contactResistance };
    return {
      ...unit, contactResistance, kind: 'power-shelf', droopResistance: unit.droopResistance * (1 + 0.3 * sources++),
    };
  });
}

const largest = (ours: readonly number[], theirs: readonly number[]) => {
  expect(ours.length).toBe(theirs.length);
  return Math.max(0, ...theirs.map((value, i) => Math.abs(value - ours[i])));
};

describe.skipIf(!haveNgspice)('ngspice on both poles', () => {
  const cases = [
    ...solved({ model: 'droop' }, DROOP_RACKS, 57),
    ...solved({ model: 'equal' }, EQUAL_RACKS, 58),
  ].map((one, i) => ({ ...one, name: `rack ${i + 1}, ${one.rack.sharing.model} sharing` }));

  it.each(cases)('$name: voltages and currents', ({ name, rack, scenario, state, power, solution }) => {
    const { supplyTemperature, returnTemperature } = solution;
    const { lines, ...asked } = rackNetlist({ rack, scenario, state, power, supplyTemperature, returnTemperature });
    const { voltages, sourceCurrents, segmentCurrents } = asked;
    const answers = operatingPoint(lines, [...voltages, ...sourceCurrents, ...segmentCurrents]);
    const next = (list: readonly string[]) => answers.splice(0, list.length);
    const sources = solution.units.filter(({ unit }) => unit.kind !== 'load').filter((_, k) => state.active[k] === 1);

    independentCase({
      program: NGSPICE, quantity: `voltages, ${name}`, unit: 'V',
      difference: largest([...solution.voltage], next(voltages)), allowed: VOLTAGE_ALLOWED,
    });
    independentCase({
      program: NGSPICE, quantity: `source currents, ${name}`, unit: 'A',
      difference: largest(sources.map(({ current }) => current), next(sourceCurrents)), allowed: CURRENT_ALLOWED,
    });
    independentCase({
      program: NGSPICE, quantity: `segment currents, ${name}`, unit: 'A',
      difference: largest([...solution.segmentCurrent], next(segmentCurrents)), allowed: CURRENT_ALLOWED,
    });
  });

  it('compares every rack asked for, fed by two and by three sources', () => {
    expect(cases).toHaveLength(DROOP_RACKS + EQUAL_RACKS);
    const inService = cases.map(({ state }) => state.active.filter((on) => on === 1).length);
    expect(new Set(inService)).toEqual(new Set([2, 3]));
  });
});
