import { scenarioSource } from '../draw/index.js';
import {
  describeState, followLoad, type FollowedLoad, type HistoryPoint, LIMIT_WORDS, NoRoomForPeak, operatingStates, type RatedPeak, ratedPeak,
  RackModel, TransientLadder,
} from '../ladder/index.js';
import { InputError, type LoadHistory, loadLoadHistory, ZERO_CELSIUS } from '../rack/index.js';
import { EXIT } from './exitCodes.js';
import { openStudy, warningText } from './openStudy.js';
import type { Screen } from './program.js';
import { plainText, textTable } from './textTable.js';

export interface PeakCommandOptions {
  readonly scenario: number;
  readonly loadFile?: string;
  readonly beforeKw?: number;
  readonly seconds?: number;
  readonly restSeconds?: number;
  readonly restKw?: number;
  readonly json: boolean;
}

const CAUTION = [
  'Heat capacity is that of the copper alone; films are those of a steady state. Screening calculation: prove a rating by a',
  'temperature-rise test to the standard that applies. Energised busbars and fault currents can kill or burn; local codes and',
  'licensed practice decide.',
];

/** `slotcast peak FILE --scenario N`: a load over time, or the largest load that is carried for a while. */
export function peakCommand(file: string, options: PeakCommandOptions, screen: Screen): number {
  const { loadFile, seconds } = options;
  if ((loadFile === undefined) === (seconds === undefined)) {
    throw refused('--load-file, --seconds', loadFile === undefined ? 'neither' : 'both', 'give exactly one of the two');
  }
  if (loadFile !== undefined && (options.beforeKw ?? options.restSeconds ?? options.restKw) !== undefined) {
    throw refused('--before-kw, --rest-seconds, --rest-kw', 'with --load-file', 'the file says what comes before and between');
  }
  if ((options.restSeconds === undefined) !== (options.restKw === undefined)) {
    throw refused('--rest-seconds, --rest-kw', 'one of them', 'give both, for peaks that repeat, or neither');
  }
  const { study } = openStudy(file, screen);
  const { scenario } = scenarioSource(study).draw(options.scenario);
  const steady = new RackModel(study.rack).rate(scenario);
  if (loadFile !== undefined) {
    const history = loadLoadHistory(loadFile, (warning) => screen.err(warningText(warning)));
    const transient = new TransientLadder(study.rack);
    const followed = operatingStates(study.rack, scenario).map((state) => followLoad(transient, scenario, history, state));
    screen.out(options.json ? JSON.stringify(historyJson(history, followed, options.scenario, steady.power), null, 2)
      : historyText(history, followed, options.scenario, steady.power));
    return EXIT.ok;
  }
  const peak = peakOf(options, () => ratedPeak(study.rack, scenario, {
    before: 1e3 * (options.beforeKw ?? 0), duration: seconds ?? 0,
    ...(options.restSeconds === undefined ? {} : { rest: { duration: options.restSeconds, power: 1e3 * (options.restKw ?? 0) } }),
  }));
  screen.out(options.json ? JSON.stringify(peakJson(peak, options, steady.power), null, 2) : peakText(peak, options, steady.power));
  return EXIT.ok;
}

function peakOf(options: PeakCommandOptions, find: () => RatedPeak): RatedPeak {
  try {
    return find();
  } catch (error) {
    if (!(error instanceof NoRoomForPeak)) throw error;
    throw refused('--before-kw, --rest-kw', `${options.beforeKw ?? 0} and ${options.restKw ?? 0}`, `lower loads: ${error.message}`);
  }
}

function peakText(peak: RatedPeak, options: PeakCommandOptions, steady: number): string {
  const { beforeKw = 0, restSeconds, restKw } = options;
  const rhythm = restSeconds === undefined
    ? `once, after a steady load of ${beforeKw} kW`
    : `again and again, with ${restSeconds} s at ${restKw} kW between, and the first time after ${beforeKw} kW`;
  const { limit, slot, pole } = peak.binding;
  const times = steady > 0 ? `That is ${(peak.power / steady).toFixed(2)} times its rated power of ${kw(steady)} kW.` : 'Steadily it carries nothing.';
  return [
    `Scenario ${options.scenario} carries ${kw(peak.power)} kW for ${options.seconds} s ${rhythm}. ${times}`,
    `What binds: ${LIMIT_WORDS[limit]}${slot > 0 ? ` at slot ${slot}` : ''}${pole === 'both' ? '' : `, ${pole} pole`}, `
      + `${describeState(peak.state)}.`,
    '',
    ...CAUTION,
  ].join('\n');
}

function peakJson(peak: RatedPeak, options: PeakCommandOptions, steady: number): object {
  return {
    format: 'slotcast-peak/1', scenario: options.scenario, peakKw: peak.power / 1e3, durationS: options.seconds,
    beforeKw: options.beforeKw ?? 0, restS: options.restSeconds ?? null, restKw: options.restKw ?? null,
    steadyRatedKw: steady / 1e3, ...peak.binding, state: describeState(peak.state),
  };
}

function historyText(history: LoadHistory, followed: readonly FollowedLoad[], index: number, steady: number): string {
  const used = (one: FollowedLoad) => (one.status === 'solved' ? one.worst?.utilisation ?? 0 : Number.POSITIVE_INFINITY);
  const worst = followed.reduce((a, b) => (used(b) > used(a) ? b : a));
  const lines = [
    `Scenario ${index} under the load "${plainText(history.name)}"; its rated power, steadily, is ${kw(steady)} kW.`,
    `Worst of ${followed.length} operating states: ${describeState(worst.state)}.`,
    '',
  ];
  if (worst.points.length > 0) {
    lines.push(textTable(
      ['after s', 'load kW', 'hottest °C', 'slot', 'pole', 'used %', 'nearest limit'], shownPoints(worst, history).map(pointRow)), '');
  }
  lines.push(verdict(worst));
  if (worst.timeConstant !== null) {
    lines.push(`Slowest time constant of the bar about the load before: ${worst.timeConstant.toFixed(0)} s (${(worst.timeConstant / 60).toFixed(0)} min).`);
  }
  return [...lines, '', ...CAUTION].join('\n');
}

function verdict({ status, reached, worst }: FollowedLoad): string {
  if (worst === null || status !== 'solved') {
    return `NOT CARRIED: ${status === 'voltage-collapse' ? 'voltage collapse' : 'no steady state'} after ${reached.toFixed(1)} s.`;
  }
  const at = `${(100 * worst.utilisation).toFixed(1)} % of ${LIMIT_WORDS[worst.binding.limit]} after ${worst.time.toFixed(1)} s`;
  return worst.utilisation <= 1 ? `Carried: at most ${at}.` : `NOT CARRIED: ${at}.`;
}

/** The steady state before, the end of every stretch (of the first and the last three cycles), and the worst moment. */
function shownPoints({ points, worst }: FollowedLoad, { steps, cycles }: LoadHistory): HistoryPoint[] {
  const cycle = steps.reduce((sum, { duration }) => sum + duration, 0);
  const ends = new Set<number>([0]);
  for (let c = 0; c < cycles; c++) {
    if (c >= 3 && c < cycles - 3) continue;
    let time = c * cycle;
    for (const { duration } of steps) {
      time += duration;
      ends.add(time);
    }
  }
  const near = (time: number) => [...ends].some((end) => Math.abs(end - time) <= 1e-9 * Math.max(1, end));
  return points.filter((point, k) => point === worst || k === points.length - 1 || near(point.time));
}

function pointRow({ time, power, hottest, slot, pole, utilisation, binding }: HistoryPoint): string[] {
  return [
    time.toFixed(1), kw(power), (hottest - ZERO_CELSIUS).toFixed(2), String(slot), pole, (100 * utilisation).toFixed(1),
    LIMIT_WORDS[binding.limit],
  ];
}

function historyJson(history: LoadHistory, followed: readonly FollowedLoad[], index: number, steady: number): object {
  return {
    format: 'slotcast-temperatures/1', scenario: index, load: history.name, beforeKw: history.before / 1e3, steadyRatedKw: steady / 1e3,
    states: followed.map((one) => ({
      state: describeState(one.state), status: one.status, reachedS: one.reached, timeConstantS: one.timeConstant,
      worst: one.worst === null ? null : pointJson(one.worst), points: one.points.map(pointJson),
    })),
  };
}

function pointJson({ time, power, hottest, slot, pole, utilisation, binding }: HistoryPoint): object {
  return { timeS: time, loadKw: power / 1e3, hottestC: hottest - ZERO_CELSIUS, slot, pole, utilisation, nearestLimit: binding };
}

function kw(watts: number): string {
  return (watts / 1e3).toFixed(1);
}

function refused(option: string, found: string, allowed: string): InputError {
  return new InputError([{ file: option, path: '', found, allowed }]);
}
