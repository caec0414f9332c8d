import { scenarioSource } from '../draw/index.js';
import { describeState, LIMIT_WORDS } from '../ladder/index.js';
import { InputError, type Study } from '../rack/index.js';
import { placementPicture } from '../study/index.js';
import {
  explainWorst, type ToleranceRanges, toleranceRanges, type WorstAnswer, worstAnswer, type WorstOptions,
} from '../worst/index.js';
import { EXIT } from './exitCodes.js';
import { openStudy } from './openStudy.js';
import type { Screen } from './program.js';
import { plainText } from './textTable.js';

export interface WorstCommandOptions {
  readonly coverPercent?: number;
  readonly seed: string;
  readonly starts: number;
  readonly seconds: number;
  readonly json: boolean;
  readonly quiet: boolean;
}

/** `slotcast worst FILE`: the worst placement found and the floor below it. */
export function worstCommand(file: string, options: WorstCommandOptions, screen: Screen): number {
  const { study } = openStudy(file, screen);
  // Says what is impossible before anything is searched.
  scenarioSource(study);
  const ranges = rangesOf(study, options.coverPercent);
  const { seed, starts, seconds, quiet } = options;
  const answer = worstAnswer(study, ranges, { seed, starts, seconds, now: () => performance.now(), ...told(quiet, screen) });
  screen.out(options.json ? JSON.stringify(worstJson(study, answer), null, 2) : worstText(study, answer));
  return EXIT.ok;
}

/**
 * The ranges that a floor is asked for.
 * @throws InputError where a distribution has no end to reach, and where the rack limits nothing that a floor rests on
 */
export function rangesOf(study: Study, coverPercent: number | undefined): ToleranceRanges {
  const { barRise, barTemperature } = study.rack.limits;
  if (!Number.isFinite(barRise) && !Number.isFinite(barTemperature)) {
    throw new InputError([{
      file: 'rack file', path: 'limits', found: 'neither barRiseK nor barC', allowed: 'give one of them: a floor rests on it',
    }]);
  }
  try {
    return toleranceRanges(study, coverPercent ?? null);
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    throw new InputError([{ file: '--cover-percent', path: '', found: String(coverPercent), allowed: error.message }]);
  }
}

/** Search and floor told on standard error as they go on. */
export function told(quiet: boolean, screen: Screen): Pick<WorstOptions, 'onSearch' | 'onFloor'> {
  if (quiet) return {};
  const kilowatts = (watts: number) => `${(watts / 1e3).toFixed(1)} kW`;
  return {
    onSearch: (start, starts, lowest) => screen.err(`search: start ${start} of ${starts}, lowest ${kilowatts(lowest)}`),
    onFloor: (floor, open) => screen.err(`floor: ${(Math.floor(floor / 100) / 10).toFixed(1)} kW proven, ${open} classes open`),
  };
}

export function rangesWords({ coverPercent }: ToleranceRanges): string {
  return coverPercent === null
    ? 'Contacts, film, emissivity, area, air and sharing as the files say; --cover-percent 98 takes their ranges.'
    : `Contacts, film, emissivity, area, air and sharing anywhere in the ranges that cover ${coverPercent} % of each.`;
}

export function worstText(study: Study, { found, floor, gapPercent }: WorstAnswer): string {
  const { rated, scenario } = found;
  const kilowatts = (watts: number) => (watts / 1e3).toFixed(2);
  // Down: what is proven may not read higher than it is.
  const proven = (Math.floor(floor.power / 10) / 100).toFixed(2);
  const basis = {
    'proven order': 'the worst order is known in closed form',
    enumerated: `all ${floor.classes} placements were rated`,
    bounded: `bounded over ${floor.classes} classes of placements`,
  }[floor.kind];
  return [
    `Study "${plainText(study.name)}" of rack "${plainText(study.rack.name)}": every placement that its draw and rules allow`,
    rangesWords(floor.ranges),
    '',
    `Floor        ${proven.padStart(8)} kW  proven: every allowed placement and load split carries it (${basis}, ${floor.seconds.toFixed(1)} s)`,
    `Worst found  ${kilowatts(rated.power).padStart(8)} kW  ${found.kind}: ${found.agreeing} of ${found.starts} independent starts came to it, ${found.evaluations} placements rated, ${found.seconds.toFixed(1)} s`,
    `Gap          ${gapPercent.toFixed(2).padStart(8)} %   the true worst lies between the two${floor.finished ? '' : '; more --seconds may close it further'}`,
    ...(floor.power < rated.power ? [`What keeps the floor from being higher: ${floor.limitedBy}.`] : []),
    '',
    'The worst placement found (bottom slot left; S power shelf, B battery shelf, 1-9 load by power per slot, . empty)',
    placementPicture(scenario.units, study.rack.slotCount),
    explainWorst(study, found),
    '',
    'A floor is proven on the model (lib/worst/PROOF.md), not on the rack.',
    'Screening calculation: prove a rating by a temperature-rise test to the standard that applies. Energised busbars and',
    'fault currents can kill or burn; local codes and licensed practice decide.',
  ].join('\n');
}

/** The same as plain data, units in the keys. */
export function worstJson(study: Study, { found, floor, gapPercent }: WorstAnswer): object {
  const { rated, scenario } = found;
  return {
    format: 'slotcast-worst/1',
    study: study.name,
    rack: study.rack.name,
    coverPercent: floor.ranges.coverPercent,
    floor: {
      kind: floor.kind, floorKw: Math.floor(floor.power * 1e3) / 1e6, limitedBy: floor.limitedBy, classes: floor.classes,
      seconds: floor.seconds, finished: floor.finished,
    },
    worstFound: {
      kind: found.kind, ratedKw: rated.power / 1e3, limit: rated.limit, limitWords: LIMIT_WORDS[rated.limit], slot: rated.slot,
      pole: rated.pole, state: describeState(rated.state), starts: found.starts, agreeing: found.agreeing,
      evaluations: found.evaluations, seconds: found.seconds, explanation: explainWorst(study, found),
      picture: placementPicture(scenario.units, study.rack.slotCount),
      units: scenario.units.map(({ kind, equipment, bottomSlot, heightSlots, power, contactResistance, sharingWeight }) => ({
        kind, equipment, bottomSlot, heightSlots, powerKw: power / 1e3,
        contactMicroOhm: contactResistance.map((ohm) => ohm * 1e6), sharingWeight,
      })),
    },
    gapPercent,
  };
}
