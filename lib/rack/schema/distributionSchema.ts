import { z } from 'zod';
import { number, object, tag, text, variants } from './parts.js';

const UNIT = 'in the unit of the quantity\'s key';
const low = number(`lower end, ${UNIT}`);
const high = number(`upper end, ${UNIT}`);

const DISTRIBUTIONS = ['fixed', 'uniform', 'normal', 'lognormal', 'triangular', 'measured'] as const;
const WHAT = 'how the quantity varies';

/** A random quantity; its numbers are in the unit named by the key it stands under. */
export const distributionSchema = z.discriminatedUnion('distribution', [
  object('one value', {
    distribution: tag('fixed', 'shape of the distribution'),
    value: number(`the value, ${UNIT}`),
  }),
  object('every value between two ends alike', {
    distribution: tag('uniform', 'shape of the distribution'),
    min: low,
    max: high,
  }),
  object('normal, cut off at the ends where they are given', {
    distribution: tag('normal', 'shape of the distribution'),
    mean: number(`mean before it is cut off, ${UNIT}`),
    sd: number(`standard deviation before it is cut off, ${UNIT}`, { above: 0 }),
    min: low.optional(),
    max: high.optional(),
  }),
  object('lognormal, cut off at the ends where they are given', {
    distribution: tag('lognormal', 'shape of the distribution'),
    median: number(`median before it is cut off, ${UNIT}`, { above: 0 }),
    geometricSd: number('geometric standard deviation: exp of the standard deviation of the logarithm', { above: 1 }),
    min: low.optional(),
    max: high.optional(),
  }),
  object('triangular', {
    distribution: tag('triangular', 'shape of the distribution'),
    min: low,
    mode: number(`most likely value, ${UNIT}`),
    max: high,
  }),
  object('resampled from measurements', {
    distribution: tag('measured', 'shape of the distribution'),
    file: text('CSV file, relative to the study file', 1000),
    column: text('column of the CSV file; its name ends in the unit'),
  }),
], { error: variants('distribution', DISTRIBUTIONS, WHAT) }).meta({ id: 'distribution', description: WHAT });

export type DistributionFile = z.output<typeof distributionSchema>;

const quantity = (what: string) => distributionSchema.meta({ description: what }).optional();

/** The quantities of a study that may vary. */
export const uncertainSchema = object('quantities that vary between scenarios; those left out keep their values', {
  contactFactor: quantity('multiplies every contact resistance; one value per scenario'),
  filmFactor: quantity('multiplies every convective film, on top of the rack\'s own factor; one value per scenario'),
  emissivity: quantity('replaces the emissivity of every section, 0 to 1; one value per scenario'),
  areaFactor: quantity('multiplies every cross-section; one value per scenario'),
  inletC: quantity('replaces the inlet temperature of the rack, °C; one value per scenario'),
  sourceContactMicroOhm: quantity('contact resistance of sources, µΩ; independent for each contact and pole'),
  loadContactMicroOhm: quantity('contact resistance of loads, µΩ; independent for each contact and pole'),
  sharingWeight: quantity('share of the current relative to an equal share; independent for each source'),
});

export type UncertainFile = z.output<typeof uncertainSchema>;
