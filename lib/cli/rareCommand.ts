import { InputError, type Study, type StudyInput } from '../rack/index.js';
import { LIBRARY_VERSION, type RarePower, rarePower, scenarioRecord, TooRare } from '../study/index.js';
import { EXIT } from './exitCodes.js';
import { progressBar } from './progress.js';
import { openStudy } from './openStudy.js';
import type { Screen } from './program.js';

export interface RareCommandOptions {
  readonly belowKw: number;
  readonly population: number;
  readonly moves: number;
  readonly replicates: number;
  readonly seed?: string;
  readonly json: boolean;
  readonly quiet: boolean;
}

/** `slotcast rare FILE --below-kw P`: how likely the rack carries no more than P, where that is very seldom. */
export function rareCommand(file: string, options: RareCommandOptions, screen: Screen): number {
  const { study, inputs } = openStudy(file, screen);
  const progress = progressBar(options.quiet || options.json);
  let found: RarePower;
  try {
    found = rarePower(study, {
      below: 1000 * options.belowKw, population: options.population, moves: options.moves, replicates: options.replicates,
      ...(options.seed === undefined ? {} : { seed: options.seed }),
      onProgress: progress.update,
    });
  } catch (error) {
    if (!(error instanceof TooRare)) throw error;
    throw new InputError([{ file: '--below-kw', path: '', found: String(options.belowKw), allowed: `give a higher power: ${error.message}` }]);
  } finally {
    progress.stop();
  }
  screen.out(options.json ? JSON.stringify(document(found, file, study, inputs, options), null, 2) : words(found));
  return EXIT.ok;
}

/** With all that makes it again. */
function document(found: RarePower, file: string, study: Study, inputs: readonly StudyInput[], options: RareCommandOptions) {
  const { population, moves, replicates } = options;
  return {
    format: 'slotcast-rare/1', version: LIBRARY_VERSION, study: file, inputs, seed: options.seed ?? study.seed, population, moves,
    replicates, belowKw: found.below / 1000, probability: found.probability, confidencePercent: Number((100 * found.confidence).toPrecision(12)),
    lower: found.lower, upper: found.upper, method: found.method, estimates: found.estimates,
    levelsKw: found.levels.map((watts) => watts / 1000), ratings: found.ratings, movesKept: found.movesKept,
    lowestKw: found.lowest.power / 1000, lowest: scenarioRecord(found.lowest.scenario),
  };
}

function words(found: RarePower): string {
  const { below, probability, lower, upper, confidence, levels, ratings, estimates, method, movesKept } = found;
  const plain = method === 'independent runs' ? Math.round(((1 - probability) / probability) / relativeVariance(estimates)) : null;
  const never = estimates.filter((estimate) => estimate === 0).length;
  const seldom = Math.min(...movesKept, 1);
  return [
    `Of the racks that the study draws, a part of ${probability.toPrecision(3)} (${oneIn(probability)}) carries ${below / 1000} kW or less; `
      + `${Number((100 * confidence).toPrecision(6))} % interval ${lower.toPrecision(3)} to ${upper.toPrecision(3)} `
      + `(${method === 'independent runs' ? `Student's t over ${estimates.length} independent runs, upward on the logarithm`
        : 'Clopper and Pearson, over plain scenarios: this is not rare'}).`,
    `Found with ${levels.length} level${levels.length === 1 ? '' : 's'} from ${(levels[0] / 1000).toFixed(1)} kW down and `
      + `${ratings.toLocaleString('en-GB')} ratings`
      + `${plain === null || !Number.isFinite(plain) ? '.' : `; plain scenarios would need about ${plain.toLocaleString('en-GB')} for an answer as good.`}`,
    ...(seldom < 0.05 ? [
      `At one level only ${(100 * seldom).toFixed(1)} % of the moves were kept: the runs may not have spread; repeat with more --moves.`,
    ] : []),
    ...(method === 'independent runs' && (never > 0 || Math.max(...estimates) > 0.5 * estimates.length * probability) ? [
      `The runs differ widely: ${never > 0 ? `${never} of ${estimates.length} never came that low` : 'one of them makes more than half of the mean'}. `
        + 'Such an interval may be too short or too low; repeat with a larger --population.',
    ] : []),
    `Lowest power met: ${(found.lowest.power / 1000).toFixed(1)} kW. This is chance under the study's law, not a bound: \`slotcast worst\` `
      + 'searches for the worst placement and proves a floor.',
    '',
    'Screening calculation: prove a rating by a temperature-rise test to the standard that applies. Energised busbars and',
    'fault currents can kill or burn; local codes and licensed practice decide.',
  ].join('\n');
}

/** A chance as one in so many, where it is small enough for that. */
function oneIn(chance: number): string {
  return chance > 0.1 ? `${(100 * chance).toPrecision(3)} %` : `1 in ${Math.round(1 / chance).toLocaleString('en-GB')}`;
}

/** Of the mean of the estimates, relative to its square. */
function relativeVariance(estimates: readonly number[]): number {
  const mean = estimates.reduce((a, b) => a + b, 0) / estimates.length;
  const variance = estimates.reduce((sum, p) => sum + (p - mean) ** 2, 0) / (estimates.length - 1) / estimates.length;
  return variance / (mean * mean);
}
