import type { PlacedUnit } from '../draw/index.js';
import type { LadderSolution } from '../ladder/index.js';
import type { Replay } from '../study/index.js';
import { formatNumber } from './numberFormat.js';

/** What the picture needs to know of one unit. */
export interface DrawnUnit {
  readonly unit: PlacedUnit;
  readonly label: string;
  /** Power per slot over that of the densest load, 0..1. */
  readonly density: number;
}

/** The units of a placement with what is written on them: a load's power at the rated power, a source's current. */
export function drawnUnits({ scenario, rated }: Replay, solution: LadderSolution | null): DrawnUnit[] {
  const { units } = scenario;
  const loads = units.filter((unit) => unit.kind === 'load');
  const total = loads.reduce((sum, unit) => sum + unit.power, 0);
  const density = (unit: PlacedUnit) => unit.power / unit.heightSlots;
  const densest = Math.max(...loads.map(density));
  let source = 0;
  return units.map((unit, i) => {
    if (unit.kind === 'load') {
      const share = unit.power / total;
      const amount = rated.power > 0
        ? `${formatNumber((share * rated.power) / 1e3, 1)} kW`
        : `${formatNumber(100 * share, 1)} % of load`;
      return { unit, label: `${amount} ${unit.equipment}`, density: densest > 0 ? density(unit) / densest : 0 };
    }
    const kind = unit.kind === 'power-shelf' ? 'power shelf' : 'battery shelf';
    const state = solution === null ? '' : sourceWords(unit, solution, source++, i);
    return { unit, label: `${kind}${state}`, density: 0 };
  });
}

function sourceWords(unit: PlacedUnit, solution: LadderSolution, source: number, at: number): string {
  if (solution.state.active[source] === 1) return ` ${formatNumber(solution.units[at].current, 0)} A`;
  return unit.contactSlot === solution.state.outSlot ? ', out' : ', idle';
}

/** Slots without a unit. */
export function emptySlots({ scenario }: Replay, slotCount: number): number[] {
  const taken = new Set(scenario.units.flatMap(({ bottomSlot, heightSlots }) =>
    Array.from({ length: heightSlots }, (_, i) => bottomSlot + i)));
  return Array.from({ length: slotCount }, (_, i) => i + 1).filter((slot) => !taken.has(slot));
}
