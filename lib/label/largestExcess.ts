import type { LadderSolution, LimitName, UnitResult } from '../ladder/index.js';
import type { Rack } from '../rack/index.js';
import type { LimitExcess } from './limitExcess.js';

type Found = Omit<LimitExcess, 'state'>;

/** Below this difference, K, two poles are equally warm but for rounding; the supply pole is then named. */
const ALIKE = 1e-6;

/** The largest excess of the limit that a solution uses most. Poles as a rating names them. */
export function largestExcess(rack: Rack, solution: LadderSolution): Found {
  const { limits } = rack;
  const { air, units } = solution;
  const { limit } = solution.binding;
  const loads = units.filter(({ unit, power }) => unit.kind === 'load' && power > 0);
  const sources = units.filter(({ unit, current }) => unit.kind !== 'load' && current !== 0);
  switch (limit) {
    case 'bar-rise':
      return hottestOfBar(limit, solution, (i) => limits.barRise + air[i], limits.barRise);
    case 'bar-temperature':
      return hottestOfBar(limit, solution, () => limits.barTemperature, null);
    case 'contact-temperature':
      return hottestContact(units, limits.contactTemperature);
    case 'source-current':
      return atUnits(limit, 'A', sources, ({ unit }) => unit.maxCurrent, ({ current }) => Math.abs(current));
    case 'source-power':
      return atUnits(limit, 'kW', sources, ({ unit }) => unit.maxPower / 1e3, ({ power }) => power / 1e3);
    case 'load-contact-current':
      return atUnits(limit, 'A', loads, () => limits.loadContactCurrent, ({ current }) => current);
    case 'lowest-load-voltage':
      // Both signs turned: the voltage must not fall below its limit.
      return atUnits(limit, 'V', loads, () => -limits.lowestLoadVoltage, ({ voltage }) => -voltage);
    default:
      throw new RangeError(`${limit} of a solved ladder: found a utilisation above 1, but no limit of the rack`);
  }
}

function hottestOfBar(
  limit: LimitName, { supplyHottest, returnHottest }: LadderSolution,
  limitAt: (i: number) => number, span: number | null,
): Found {
  let best: Found | null = null;
  for (let i = 0; i < supplyHottest.length; i++) {
    const isReturn = returnHottest[i] > supplyHottest[i] + ALIKE;
    const excess = (isReturn ? returnHottest[i] : supplyHottest[i]) - limitAt(i);
    if (best === null || best.excess === null || excess > best.excess) {
      const percent = span === null ? null : (100 * excess) / span;
      best = { limit, slot: i + 1, pole: isReturn ? 'return' : 'supply', excess, unit: 'K', percent };
    }
  }
  return found(limit, best);
}

function hottestContact(units: readonly UnitResult[], limitTemperature: number): Found {
  let best: Found | null = null;
  for (const { unit, contactTemperature } of units) {
    contactTemperature.forEach((temperature, p) => {
      const excess = temperature - limitTemperature;
      if (best === null || best.excess === null || excess > best.excess) {
        const pole = p === 0 ? 'supply' : 'return';
        best = { limit: 'contact-temperature', slot: unit.contactSlot, pole, excess, unit: 'K', percent: null };
      }
    });
  }
  return found('contact-temperature', best);
}

function atUnits(
  limit: LimitName, unitOfExcess: 'A' | 'V' | 'kW', units: readonly UnitResult[],
  limitOf: (result: UnitResult) => number, measured: (result: UnitResult) => number,
): Found {
  let best: Found | null = null;
  for (const result of units) {
    const excess = measured(result) - limitOf(result);
    if (best === null || best.excess === null || excess > best.excess) {
      const percent = (100 * excess) / Math.abs(limitOf(result));
      best = { limit, slot: result.unit.contactSlot, pole: 'both', excess, unit: unitOfExcess, percent };
    }
  }
  return found(limit, best);
}

function found(limit: LimitName, best: Found | null): Found {
  if (best === null) throw new RangeError(`${limit}: found no place in the solution that this limit belongs to`);
  return best;
}
