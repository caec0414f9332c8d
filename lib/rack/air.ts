import type { Air } from './model.js';
import type { RackFile } from './schema/rackSchema.js';
import type { ProblemLog } from './text/problemLog.js';
import { fromCelsius, fromKPerKw } from './text/units.js';

type AirFile = RackFile['air'];

/** Rise at each slot: linear between the points, constant beyond the outermost. */
function interpolate(points: readonly { slot: number; riseK: number }[], slotCount: number): number[] {
  return Array.from({ length: slotCount }, (_, index) => {
    const slot = index + 1;
    const above = points.findIndex((point) => point.slot >= slot);
    if (above === -1) {
      return points[points.length - 1].riseK;
    }
    if (above === 0 || points[above].slot === slot) {
      return points[above].riseK;
    }
    const low = points[above - 1];
    const high = points[above];
    return low.riseK + ((high.riseK - low.riseK) * (slot - low.slot)) / (high.slot - low.slot);
  });
}

/** Air in SI with one profile entry per slot; problems go to the log. */
export function readAir(file: AirFile, slotCount: number, log: ProblemLog): Air {
  const points = file.profileK ?? [{ slot: 1, riseK: 0 }];
  points.forEach(({ slot }, index) => {
    const where = `air.profileK[${index}].slot`;
    if (slot > slotCount) {
      log.add(where, String(slot), `give at most ${slotCount}, the number of slots of the rack`);
    } else if (index > 0 && slot <= points[index - 1].slot) {
      log.add(where, String(slot), `give slots in rising order: the point before is at slot ${points[index - 1].slot}`);
    }
  });
  return {
    inlet: fromCelsius(file.inletC),
    profile: interpolate(points, slotCount),
    exhaustRise: fromKPerKw(file.exhaustRiseKPerKw),
    altitude: file.altitudeM,
    surroundings: file.surroundingsC === undefined ? null : fromCelsius(file.surroundingsC),
  };
}
