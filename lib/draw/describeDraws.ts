import { ZERO_CELSIUS } from '../rack/model.js';
import { SCENARIO_QUANTITIES, type Distribution, type Sampling, type Study } from '../rack/studyModel.js';
import type { LoadsPlacer } from './loadsPlacer.js';
import { ruleInWords } from './ruleWords.js';
import type { SourceArrangements } from './sourceArrangements.js';
import { countInWords, plural } from './words.js';

/** What a study will draw, one line each, for people. */
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
    if (given) lines.push(`${quantity}: ${distributionInWords(given, quantity === 'inlet' ? CELSIUS : PLAIN)}, one value per scenario`);
  }
  if (uncertain.sourceContact) {
    lines.push(`source contacts: ${distributionInWords(uncertain.sourceContact, MICRO_OHM)}; each contact and pole by itself`);
  }
  if (uncertain.loadContact) {
    lines.push(`load contacts: ${distributionInWords(uncertain.loadContact, MICRO_OHM)}; each contact and pole by itself`);
  }
  if (uncertain.sharingWeight) {
    lines.push(`sharing weights: ${distributionInWords(uncertain.sharingWeight, PLAIN)}, each source by itself`);
  }
  for (const { between, rank } of correlations) lines.push(`rank correlation ${rank} between ${between.join(' and ')}`);
  lines.push(designInWords(sampling));
  return lines;
}

function designInWords(sampling: Sampling): string {
  if (sampling.design === 'plain') return 'design: plain, every scenario by itself';
  const kind = sampling.design === 'sobol' ? 'replicates of scrambled Sobol points,' : 'Latin hypercubes of';
  const sources = sampling.stratifySources === true ? ', the source arrangements spread evenly too' : '';
  return `design: independent ${kind} ${countInWords(sampling.size)} scenarios${sampling.design === 'sobol' ? ' each' : ''}${sources}`;
}

/** How values of a quantity read to people: their unit, the value shown there, and a difference of values. */
interface Scale {
  readonly unit: string;
  readonly value: (si: number) => number;
  readonly difference: (si: number) => number;
}

const PLAIN: Scale = { unit: '', value: (x) => x, difference: (x) => x };
const CELSIUS: Scale = { unit: ' °C', value: (x) => x - ZERO_CELSIUS, difference: (x) => x };
const MICRO_OHM: Scale = { unit: ' µΩ', value: (x) => x * 1e6, difference: (x) => x * 1e6 };

function distributionInWords(given: Distribution, scale: Scale): string {
  const { unit } = scale;
  const shown = (x: number): string => String(Number(scale.value(x).toPrecision(6)));
  const within = (min: number, max: number): string => {
    if (Number.isFinite(min) && Number.isFinite(max)) return `, kept within ${shown(min)} and ${shown(max)}${unit}`;
    if (Number.isFinite(max)) return `, kept below ${shown(max)}${unit}`;
    return Number.isFinite(min) && min !== 0 ? `, kept above ${shown(min)}${unit}` : '';
  };
  switch (given.distribution) {
    case 'fixed':
      return `fixed at ${shown(given.value)}${unit}`;
    case 'uniform':
      return `uniform from ${shown(given.min)} to ${shown(given.max)}${unit}`;
    case 'normal': {
      const sd = Number(scale.difference(given.sd).toPrecision(6));
      return `normal, mean ${shown(given.mean)}${unit}, standard deviation ${sd}${within(given.min, given.max)}`;
    }
    case 'lognormal':
      return `lognormal, median ${shown(given.median)}${unit}, geometric standard deviation ${given.geometricSd}`
        + within(given.min, given.max);
    case 'triangular':
      return `triangular from ${shown(given.min)} over ${shown(given.mode)} to ${shown(given.max)}${unit}`;
    case 'measured': {
      const { values } = given;
      const ends = `${shown(Math.min(...values))} to ${shown(Math.max(...values))}${unit}`;
      return `${plural(values.length, 'measured value')} from ${ends}, each equally likely`;
    }
  }
}
