import { InputError } from '../rack/index.js';
import { type RarePower, rarePower, scenarioRecord, TooRare } from '../study/index.js';
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
  const { study } = openStudy(file, screen);
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
    throw new InputError([{ file: '--below-kw', path: '', found: String(options.belowKw), allowed: `a higher power: ${error.message}` }]);
  } finally {
    progress.stop();
  }
  screen.out(options.json ? JSON.stringify(document(found, file), null, 2) : words(found));
  return EXIT.ok;
}

function document(found: RarePower, file: string) {
  return {
    format: 'slotcast-rare/1', study: file, belowKw: found.below / 1000, probability: found.probability,
    confidencePercent: 100 * found.confidence, lower: found.lower, upper: found.upper, replicates: found.estimates,
    levelsKw: found.levels.map((watts) => watts / 1000), ratings: found.ratings, movesKept: found.movesKept,
    lowestKw: found.lowest.power / 1000, lowest: scenarioRecord(found.lowest.scenario),
  };
}

function words(found: RarePower): string {
  const { below, probability, lower, upper, confidence, levels, ratings, estimates, movesKept } = found;
  const per = (p: number) => (p > 0 ? `1 in ${Math.round(1 / p).toLocaleString('en-GB')}` : 'never met');
  const plain = probability > 0 ? Math.round(((1 - probability) / probability) / relativeVariance(estimates)) : null;
  const seldom = Math.min(...movesKept, 1);
  return [
    `Of the racks that the study draws, a part of ${probability.toPrecision(3)} (${per(probability)}) carries ${below / 1000} kW or less; `
      + `${Number((100 * confidence).toPrecision(6))} % interval ${lower.toPrecision(3)} to ${upper.toPrecision(3)} `
      + `(Student's t over ${estimates.length} independent runs).`,
    `Found with ${levels.length} level${levels.length === 1 ? '' : 's'} from ${(levels[0] / 1000).toFixed(1)} kW down and `
      + `${ratings.toLocaleString('en-GB')} ratings`
      + `${plain === null || !Number.isFinite(plain) ? '.' : `; plain scenarios would need about ${plain.toLocaleString('en-GB')} for an answer as good.`}`,
    ...(seldom < 0.05 ? [
      `At one level only ${(100 * seldom).toFixed(1)} % of the moves were kept: the runs may not have spread; repeat with more --moves.`,
    ] : []),
    `Lowest power met: ${(found.lowest.power / 1000).toFixed(1)} kW. This is chance under the study's law, not a bound: \`slotcast worst\` `
      + 'searches for the worst placement and proves a floor.',
    '',
    'Screening calculation: prove a rating by a temperature-rise test to the standard that applies. Energised busbars and',
    'fault currents can kill or burn; local codes and licensed practice decide.',
  ].join('\n');
}

/** Of the mean of the estimates, relative to its square. */
function relativeVariance(estimates: readonly number[]): number {
  const mean = estimates.reduce((a, b) => a + b, 0) / estimates.length;
  const variance = estimates.reduce((sum, p) => sum + (p - mean) ** 2, 0) / (estimates.length - 1) / estimates.length;
  return variance / (mean * mean);
}
