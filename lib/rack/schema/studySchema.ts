import { z } from 'zod';
import type { ScenarioQuantity } from '../studyModel.js';
import { uncertainSchema } from './distributionSchema.js';
import { loadsSchema, sourcesSchema } from './drawSchema.js';
import { choice, list, number, object, preamble, tag, text, variants } from './parts.js';
import { ruleSchema } from './ruleSchema.js';

export const STUDY_FORMAT = 'slotcast-study/1';

const percent = (what: string) => number(`${what}, per cent`, { from: 0, to: 100 });

const SEED = 'start of every random stream: the same seed gives the same study';
const SEED_ERROR = `give text, or a whole number below 9007199254740992; write longer numbers in quotes (${SEED})`;

const seed = z.union([
  z.string().min(1, { error: SEED_ERROR }).max(200, { error: SEED_ERROR }),
  z.int({ error: SEED_ERROR }),
], { error: SEED_ERROR }).meta({ description: SEED });

/** Keys of "uncertain" with one value per scenario, as files write them. */
export const SCENARIO_KEYS = ['contactFactor', 'filmFactor', 'emissivity', 'areaFactor', 'inletC'] as const;

/** The model's name of a quantity: files carry the unit in the key. */
export function modelQuantity(key: (typeof SCENARIO_KEYS)[number]): ScenarioQuantity {
  return key === 'inletC' ? 'inlet' : key;
}

const BETWEEN = 'two quantities of "uncertain" that have one value per scenario';

const correlation = object('rank correlation of two quantities', {
  between: z.tuple([choice(BETWEEN, SCENARIO_KEYS), choice(BETWEEN, SCENARIO_KEYS)], {
    error: `give a list of two (${BETWEEN})`,
  }).meta({ description: BETWEEN }),
  rank: number('Spearman rank correlation', { from: -1, to: 1 }),
});

const STRATIFY = 'whether the source arrangements are spread evenly in each replicate too';
const SAMPLING = 'how the quantities with one value per scenario are spread';

const sampling = z.discriminatedUnion('design', [
  object('every scenario independent', { design: tag('plain', 'kind of design') }),
  object('independent Latin hypercubes', {
    design: tag('latin-hypercube', 'kind of design'),
    size: number('scenarios in one hypercube', { from: 2, whole: true }),
    stratifySources: z.boolean().meta({ description: STRATIFY }).optional(),
  }),
  object('independent replicates of scrambled Sobol points', {
    design: tag('sobol', 'kind of design'),
    size: number('scenarios in one replicate, a power of two', { from: 2, to: 1_048_576, whole: true }),
    stratifySources: z.boolean().meta({ description: STRATIFY }).optional(),
  }),
], { error: variants('design', ['plain', 'latin-hypercube', 'sobol'], SAMPLING) })
  .meta({ description: SAMPLING }).default({ design: 'plain' });

const stop = object('stop before all scenarios have run once a percentile is known well enough', {
  percentilePercent: number('percentile watched, per cent', { above: 0, below: 100 }),
  halfWidthKw: number('half-width of its confidence interval to reach, kW', { above: 0 }),
  lookEvery: number('scenarios between looks', { from: 1, whole: true }),
});

const candidate = object('rules tried together', {
  name: text('name shown in tables'),
  rules: list('placement rules', ruleSchema, 1),
});

/** The study file. */
export const studySchema = object('Many scenarios of one rack: what may stand in it, what varies, what is asked.', {
  ...preamble(STUDY_FORMAT, 'study'),
  rack: text('rack file, relative to this file', 1000),
  catalogue: text('catalogue file, relative to this file', 1000),
  seed,
  scenarios: number('number of scenarios', { from: 1, to: 10_000_000, whole: true }),
  sources: sourcesSchema,
  loads: loadsSchema,
  rules: list('placement rules', ruleSchema).default([]),
  candidateRules: list('rules to be tried on top of "rules", to see what they buy; they do not change what is drawn', candidate)
    .default([]),
  uncertain: uncertainSchema.default({}),
  correlations: list('rank correlations', correlation).default([]),
  sampling,
  percentilesPercent: list('percentiles of rated power to report: the 1st is the power 1 % of scenarios fall below',
    percent('percentile'), 1),
  percentileDefinition: choice('definition of a sample percentile after Hyndman and Fan (1996)', ['type-7', 'type-8'])
    .default('type-8'),
  confidencePercent: number('confidence of every interval, two-sided, per cent', { above: 0, below: 100 }).default(95),
  mostNotRatedPercent: number('share of scenarios that may stay without a rated power before the study counts as failed, per cent',
    { from: 0, to: 100 }).default(1),
  stop: stop.optional(),
});

/** The same for a study handed over in code, where rack and catalogue are given as objects. */
export const studyInCodeSchema = studySchema.partial({ rack: true, catalogue: true });

export type StudyFile = z.output<typeof studySchema>;
export type CorrelationFile = z.output<typeof correlation>;
