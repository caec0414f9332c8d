import type { Limits } from './model.js';
import type { RackFile } from './schema/rackSchema.js';
import type { ProblemLog } from './text/problemLog.js';
import { fromCelsius } from './text/units.js';

/** Limits in SI, infinite where not given; problems go to the log. */
export function readLimits(file: RackFile['limits'], rack: Partial<RackFile>, log: ProblemLog): Limits {
  if (Object.values(file).every((limit) => limit === undefined)) {
    log.add('limits', 'no limit', 'give at least one of barRiseK, barC, contactC, loadContactA, lowestLoadV');
  }
  const { air, feed } = rack;
  for (const key of ['barC', 'contactC'] as const) {
    const limit = file[key];
    if (air !== undefined && limit !== undefined && limit <= air.inletC) {
      log.add(`limits.${key}`, String(limit), `give a temperature above the inlet's ${air.inletC} °C, in °C`);
    }
  }
  if (feed !== undefined && file.lowestLoadV !== undefined && file.lowestLoadV >= feed.setV) {
    log.add('limits.lowestLoadV', String(file.lowestLoadV), `give a voltage below the set voltage of ${feed.setV} V`);
  }
  return {
    barRise: file.barRiseK ?? Number.POSITIVE_INFINITY,
    barTemperature: file.barC === undefined ? Number.POSITIVE_INFINITY : fromCelsius(file.barC),
    contactTemperature: file.contactC === undefined ? Number.POSITIVE_INFINITY : fromCelsius(file.contactC),
    loadContactCurrent: file.loadContactA ?? Number.POSITIVE_INFINITY,
    lowestLoadVoltage: file.lowestLoadV ?? Number.NEGATIVE_INFINITY,
  };
}
