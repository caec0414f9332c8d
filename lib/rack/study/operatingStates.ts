import type { Catalogue, Rack } from '../model.js';
import type { ProblemLog } from '../text/problemLog.js';
import { listWords } from '../text/spelling.js';
import type { CountedSource } from './countedSource.js';

/** Checks that the study has the sources that the rack's operating states and sharing call for. */
export function logOperatingStates(
  rack: Rack, catalogue: Catalogue, sources: readonly CountedSource[], log: ProblemLog,
): void {
  const units = (kind: string): number => sources.filter(({ type }) => type.kind === kind)
    .reduce((sum, { count }) => sum + count, 0);
  const powerShelves = units('power-shelf');
  const batteryShelves = units('battery-shelf');
  if (powerShelves + batteryShelves === 0) {
    return;
  }
  const states = rack.operatingStates;
  const needsPower = states.find((state) => state !== 'batteries-alone');
  if (needsPower !== undefined && powerShelves === 0) {
    log.add('sources', 'no power shelf',
      `the rack's operating state "${needsPower}" needs one: add one, or leave the state out of the rack file`);
  } else if (states.includes('one-source-out') && powerShelves < 2) {
    log.add('sources', 'a single power shelf',
      'the rack\'s operating state "one-source-out" takes one power shelf out at a time: give at least two, or leave '
      + 'the state out of the rack file');
  }
  if (states.includes('batteries-alone') && batteryShelves === 0) {
    const ids = catalogue.sources.filter(({ kind }) => kind === 'battery-shelf').map(({ id }) => id);
    const how = ids.length === 0
      ? 'the catalogue has none: add a source of kind "battery-shelf" there and its count here'
      : `add one of ${listWords(ids)}`;
    log.add('sources', 'no battery shelf',
      `the rack's operating state "batteries-alone" needs one: ${how}, or leave the state out of the rack file`);
  }
  if (rack.sharing.model === 'droop') {
    const without = sources
      .filter(({ type, count }) => count > 0 && type.droopResistance === 0)
      .map(({ type }) => type.id);
    if (without.length > 0) {
      log.add('sources', `${listWords(without)} without a droop resistance`,
        'the rack shares by droop: give "droopMilliOhm" above 0 in the catalogue, or set "sharing" to "equal"');
    }
  }
}
