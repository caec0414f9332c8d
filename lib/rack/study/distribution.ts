import type { DistributionFile } from '../schema/distributionSchema.js';
import type { Distribution } from '../studyModel.js';
import { describeValue, type ProblemLog } from '../text/problemLog.js';
import type { StudyInputs } from './inputs.js';
import { describePossible, isPossible, type Quantity } from './quantities.js';

/**
 * A draw never lies further out than this many standard deviations: the inverse normal of the smallest number that
 * 53 random bits make, 2⁻⁵³, is −8.13.
 */
const REACH = 9;

type Cut = DistributionFile & { distribution: 'normal' | 'lognormal' };

/** The ends a cut distribution can reach: its own, or as far as a draw can go. */
function reach(file: Cut): { low: number; high: number } {
  if (file.distribution === 'normal') {
    return { low: file.mean - REACH * file.sd, high: file.mean + REACH * file.sd };
  }
  const spread = file.geometricSd ** REACH;
  return { low: file.median / spread, high: file.median * spread };
}

type Bounded = DistributionFile & { distribution: 'uniform' | 'triangular' };

/** Checks that the ends and the mode are in order. */
function logEnds(file: Bounded, path: string, log: ProblemLog): boolean {
  if (file.min >= file.max) {
    log.add(`${path}.max`, String(file.max), `give a number above "min" (${file.min})`);
    return false;
  }
  if (file.distribution === 'triangular' && (file.mode < file.min || file.mode > file.max)) {
    log.add(`${path}.mode`, String(file.mode), `give a number from "min" (${file.min}) to "max" (${file.max})`);
    return false;
  }
  return true;
}

/** Checks the cuts of a normal or lognormal: in order, and not so far out that nothing is left. */
function logCuts(file: Cut, path: string, log: ProblemLog): boolean {
  const { low, high } = reach(file);
  const { min = Number.NEGATIVE_INFINITY, max = Number.POSITIVE_INFINITY } = file;
  if (min >= max) {
    log.add(`${path}.max`, String(max), `give a number above "min" (${min})`);
    return false;
  }
  if (min >= high || max <= low) {
    const key = min >= high ? 'min' : 'max';
    log.add(`${path}.${key}`, String(file[key]), 'give a cut that leaves some of the distribution: it practically lies '
      + `between ${low.toPrecision(3)} and ${high.toPrecision(3)}`);
    return false;
  }
  return true;
}

/** Logs where a distribution can give impossible values: at the key that would have to change. */
function logPossible(file: DistributionFile, path: string, quantity: Quantity, log: ProblemLog): void {
  const allowed = `${quantity.key} must be ${describePossible(quantity)}`;
  const check = (key: string, value: number): void => {
    if (!isPossible(value, quantity)) {
      log.add(`${path}.${key}`, String(value), allowed);
    }
  };
  if (file.distribution === 'fixed') {
    check('value', file.value);
  } else if (file.distribution === 'uniform' || file.distribution === 'triangular') {
    check('min', file.min);
    check('max', file.max);
  } else if (file.distribution !== 'measured') {
    const { low, high } = reach(file);
    for (const [key, end] of [['min', low], ['max', high]] as const) {
      const cut = file[key];
      if (cut !== undefined) {
        check(key, cut);
      } else if (!isPossible(end, quantity)) {
        log.add(`${path}.${key}`, `nothing, for a ${file.distribution} that reaches ${end.toPrecision(3)}`,
          `${allowed}: cut the distribution there with "${key}"`);
      }
    }
  }
}

function readMeasured(
  file: DistributionFile & { distribution: 'measured' }, path: string, quantity: Quantity, inputs: StudyInputs,
  log: ProblemLog,
): Distribution | null {
  const ending = quantity.unitEnding;
  if (ending !== null && !file.column.endsWith(ending)) {
    log.add(`${path}.column`, describeValue(file.column),
      `give a column in the unit of ${quantity.key}: its name must end in "${ending}"`);
    return null;
  }
  const values = inputs.measurements(file.file, file.column);
  const impossible = values?.find((value) => !isPossible(value, quantity));
  if (impossible !== undefined) {
    log.add(path, `${impossible} in ${file.file}, column ${file.column}`,
      `${quantity.key} must be ${describePossible(quantity)}`);
    return null;
  }
  return values === null ? null : { distribution: 'measured', values: values.map((value) => quantity.value(value)) };
}

/** A distribution in SI; null where a problem was logged or its measurements are missing. */
export function readDistribution(
  file: DistributionFile, path: string, quantity: Quantity, inputs: StudyInputs, log: ProblemLog,
): Distribution | null {
  if (file.distribution === 'measured') {
    return readMeasured(file, path, quantity, inputs, log);
  }
  if (file.distribution === 'lognormal' && !quantity.hasZero) {
    log.add(`${path}.distribution`, '"lognormal"', `give another distribution: a lognormal of ${quantity.key} would `
      + 'depend on where the scale has its zero');
    return null;
  }
  const ordered = file.distribution === 'uniform' || file.distribution === 'triangular' ? logEnds(file, path, log)
    : file.distribution === 'fixed' || logCuts(file, path, log);
  if (ordered) {
    logPossible(file, path, quantity, log);
  }
  return toModel(file, quantity);
}

function toModel(file: Exclude<DistributionFile, { distribution: 'measured' }>, quantity: Quantity): Distribution {
  const si = (value: number): number => quantity.value(value);
  switch (file.distribution) {
    case 'fixed':
      return { distribution: 'fixed', value: si(file.value) };
    case 'uniform':
      return { distribution: 'uniform', min: si(file.min), max: si(file.max) };
    case 'triangular':
      return { distribution: 'triangular', min: si(file.min), mode: si(file.mode), max: si(file.max) };
    case 'normal':
      return {
        distribution: 'normal',
        mean: si(file.mean),
        sd: quantity.difference(file.sd),
        min: file.min === undefined ? Number.NEGATIVE_INFINITY : si(file.min),
        max: file.max === undefined ? Number.POSITIVE_INFINITY : si(file.max),
      };
    case 'lognormal':
      return {
        distribution: 'lognormal',
        median: si(file.median),
        geometricSd: file.geometricSd,
        min: file.min === undefined ? 0 : si(file.min),
        max: file.max === undefined ? Number.POSITIVE_INFINITY : si(file.max),
      };
  }
}
