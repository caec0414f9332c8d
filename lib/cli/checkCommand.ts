import { extname } from 'node:path';
import { scenarioSource } from '../draw/index.js';
import { InputError, type Study } from '../rack/index.js';
import { replicateSizeOf } from '../rack/studyModel.js';
import { smallestSample, smallestSampleForInterval } from '../statistics/index.js';
import { checkerOf } from './checkAlone.js';
import { EXIT } from './exitCodes.js';
import { openStudy } from './openStudy.js';
import { formatOf, type Screen } from './program.js';
import { rackFacts, rackLine } from './rackWords.js';
import { plainText, textTable } from './textTable.js';

export function checkCommand(file: string, options: { readonly json: boolean }, screen: Screen): number {
  if (extname(file).toLowerCase() === '.csv') {
    throw new InputError([{
      file, path: '', found: 'a CSV file', allowed: 'give the study file that names it, which checks it too (a heat run: `slotcast fit`)',
    }]);
  }
  const alone = checkerOf(formatOf(file));
  if (alone !== null) {
    const { warnings, facts, lines } = alone(file, screen);
    screen.out(options.json
      ? JSON.stringify({ file, valid: true, warnings, ...facts }, null, 2)
      : [`${file} can be used.`, ...lines].join('\n'));
    return EXIT.ok;
  }
  const { study, inputs, warnings } = openStudy(file, screen);
  const draws = scenarioSource(study).describe();
  const samples = sampleSizes(study);
  const replicateSize = replicateSizeOf(study.sampling);
  const replicates = replicateSize === null ? Number.POSITIVE_INFINITY : study.scenarios / replicateSize;
  if (options.json) {
    screen.out(JSON.stringify({
      file, valid: true, warnings, study: study.name, seed: study.seed, scenarios: study.scenarios, inputs,
      rack: rackFacts(study.rack), draws, sampleSizes: samples,
    }, null, 2));
    return EXIT.ok;
  }
  const confidence = `${Number((100 * study.confidence).toPrecision(6))} %`;
  screen.out([
    `${file} and the ${inputs.length - 1} files it names can be used.`,
    rackLine(study.rack),
    `${study.scenarios} scenarios, seed ${plainText(study.seed)}.`,
    '',
    'What will be drawn',
    ...draws.map((line) => `  ${plainText(line)}`),
    '',
    `Scenarios needed at ${confidence} confidence (this study: ${study.scenarios})`,
    textTable(
      ['percentile', 'two-sided interval', ...(replicateSize === null ? ['one-sided bound'] : []), 'enough'],
      samples.map((row) => [
        `${row.percent}%`, String(row.intervalNeeds), ...(replicateSize === null ? [String(row.boundNeeds)] : []),
        row.intervalNeeds <= study.scenarios && replicates >= 2 ? 'yes' : 'NO: the interval will be refused',
      ]),
    ),
    ...(replicateSize === null ? [] : [
      '', `Intervals come from how ${replicates} replicate${replicates === 1 ? '' : 's'} of ${replicateSize} scenarios differ${
        replicates === 1 ? 's: two are the least' : ''}. One-sided bounds and labels on a share need plain sampling.`,
    ]),
  ].join('\n'));
  return EXIT.ok;
}

function sampleSizes(study: Study): { percent: number; intervalNeeds: number; boundNeeds: number }[] {
  return study.percentiles.filter((p) => p > 0 && p < 1).map((p) => ({
    percent: Number((100 * p).toPrecision(6)),
    intervalNeeds: smallestSampleForInterval(p, study.confidence),
    boundNeeds: p <= 0.5
      ? smallestSample({ p, confidence: study.confidence, order: 1 })
      : smallestSample({ p, confidence: study.confidence, order: 1, side: 'upper' }),
  }));
}
