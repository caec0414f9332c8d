import { SCENARIO_QUANTITIES, type Distribution, type Study } from '../rack/studyModel.js';
import type { LoadsPlacer } from './loadsPlacer.js';
import { ruleInWords } from './ruleWords.js';
import type { SourceArrangements } from './sourceArrangements.js';
import { countInWords, plural } from './words.js';

/** What a study will draw, one line each, for people. Values in the units of `uncertain` (Ω, K, 1). */
export function describeDraws(study: Study, sources: SourceArrangements, loads: LoadsPlacer): string[] {
  const { rules, uncertain, correlations, sampling } = study;
  const units = sources.pieces.map(({ count, unitType }) => `${count} × "${unitType.id}"`).join(', ');
  const around = study.loads.draw === 'fixed' ? ' around the loads' : '';
  const equally = sources.count > 1 ? ', each equally likely' : '';
  const lines = [
    `sources: ${units || 'none'}; ${plural(sources.count, 'arrangement')} allowed${around}${equally}`,
    ...loads.describe(),
    ...rules.map((rule, at) => `rule ${at + 1}: ${ruleInWords(rule)}`),
  ];
  for (const quantity of SCENARIO_QUANTITIES) {
    const given = uncertain.perScenario[quantity];
    if (given) lines.push(`${quantity}: ${distributionInWords(given)}, one value per scenario`);
  }
  if (uncertain.sourceContact) {
    lines.push(`source contacts: ${distributionInWords(uncertain.sourceContact)}, Ω, each contact and pole by itself`);
  }
  if (uncertain.loadContact) {
    lines.push(`load contacts: ${distributionInWords(uncertain.loadContact)}, Ω, each contact and pole by itself`);
  }
  if (uncertain.sharingWeight) {
    lines.push(`sharing weights: ${distributionInWords(uncertain.sharingWeight)}, each source by itself`);
  }
  for (const { between, rank } of correlations) lines.push(`rank correlation ${rank} between ${between.join(' and ')}`);
  lines.push(
    sampling.design === 'plain'
      ? 'design: plain, every scenario by itself'
      : `design: independent Latin hypercubes of ${countInWords(sampling.size)} scenarios`,
  );
  return lines;
}

function distributionInWords(given: Distribution): string {
  const within = (min: number, max: number): string =>
    min === -Infinity && max === Infinity ? '' : `, kept within ${min} to ${max}`;
  switch (given.distribution) {
    case 'fixed':
      return `fixed at ${given.value}`;
    case 'uniform':
      return `uniform from ${given.min} to ${given.max}`;
    case 'normal':
      return `normal, mean ${given.mean}, standard deviation ${given.sd}${within(given.min, given.max)}`;
    case 'lognormal':
      return (
        `lognormal, median ${given.median}, geometric standard deviation ${given.geometricSd}` +
        within(given.min, given.max)
      );
    case 'triangular':
      return `triangular from ${given.min} over ${given.mode} to ${given.max}`;
    case 'measured':
      return `${plural(given.values.length, 'measured value')}, each equally likely`;
  }
}
