import { InputError } from '../rack/errors.js';
import type { Distribution } from '../rack/studyModel.js';
import { truncatedNormalQuantile } from './normalDistribution.js';

/** Maps a uniform number 0 < u < 1 to a value of the distribution, never falling as u grows. */
export type QuantileFunction = (u: number) => number;

/**
 * The quantile function (inverse of the distribution function) of a random quantity. One uniform number gives one
 * value, whatever the distribution: that is what stratified and correlated designs need.
 *
 * fixed: its value. uniform: min + u·(max−min). normal and lognormal: truncated by restricting u to the part of the
 * distribution function between min and max, so that shape is kept inside and nothing piles up at the ends; a
 * lognormal has ln X normal with mean ln median and standard deviation ln geometricSd. triangular: with
 * c = (mode−min)/(max−min), min + √(u·(max−min)·(mode−min)) below c, mirrored above. measured: every value equally
 * likely, the ⌊u·n⌋-th from below.
 * @param path where the distribution stands in the study, for the error
 * @throws InputError when the parameters describe no distribution, or min..max holds none of it
 * @example
 * distributionQuantile({ distribution: 'uniform', min: 2, max: 4 }, 'example')(0.25); // 2.5
 */
export function distributionQuantile(given: Distribution, path: string): QuantileFunction {
  const fail = (found: string, allowed: string): never => {
    throw new InputError([{ file: 'study', path, found, allowed }]);
  };
  const needOrder = (...ascending: number[]): void => {
    const ordered = ascending.every((value, at) => at === 0 || value >= ascending[at - 1]);
    if (!ordered) fail(`${given.distribution} with ${ascending.join(', ')}`, 'ascending limits are allowed');
  };
  const needFinite = (...values: number[]): void => {
    if (!values.every(Number.isFinite))
      fail(`${given.distribution} with ${values.join(', ')}`, 'finite numbers are allowed');
  };
  switch (given.distribution) {
    case 'fixed': {
      const { value } = given;
      needFinite(value);
      return () => value;
    }
    case 'uniform': {
      const { min, max } = given;
      needFinite(min, max);
      needOrder(min, max);
      return (u) => Math.min(min + u * (max - min), max);
    }
    case 'normal': {
      const { mean, sd, min, max } = given;
      needOrder(min, max);
      needFinite(mean, sd);
      if (!(sd >= 0)) fail(`sd ${sd}`, 'a standard deviation ≥ 0 is allowed');
      if (sd === 0) return mean >= min && mean <= max ? () => mean : noMass(fail, min, max);
      const quantile = truncatedNormalQuantile((min - mean) / sd, (max - mean) / sd) ?? noMass(fail, min, max);
      return (u) => Math.min(Math.max(mean + sd * quantile(u), min), max);
    }
    case 'lognormal': {
      const { median, geometricSd, min, max } = given;
      needOrder(min, max);
      needFinite(median, geometricSd);
      if (!(median > 0)) fail(`median ${median}`, 'a median > 0 is allowed');
      if (!(geometricSd >= 1)) fail(`geometricSd ${geometricSd}`, 'a geometric standard deviation ≥ 1 is allowed');
      if (geometricSd === 1) return median >= min && median <= max ? () => median : noMass(fail, min, max);
      const spread = Math.log(geometricSd);
      const low = Math.log(Math.max(min, 0) / median) / spread;
      const high = Math.log(Math.max(max, 0) / median) / spread;
      const quantile = truncatedNormalQuantile(low, high) ?? noMass(fail, min, max);
      return (u) => Math.min(Math.max(median * Math.exp(spread * quantile(u)), min), max);
    }
    case 'triangular': {
      const { min, mode, max } = given;
      needFinite(min, mode, max);
      needOrder(min, mode, max);
      const width = max - min;
      const lower = mode - min;
      const upper = max - mode;
      if (width === 0) return () => mode;
      return (u) => (u * width < lower ? min + Math.sqrt(u * width * lower) : max - Math.sqrt((1 - u) * width * upper));
    }
    case 'measured': {
      const values = Float64Array.from(given.values).sort();
      if (values.length === 0) fail('no value', 'one or more measured values are needed');
      needFinite(...given.values);
      return (u) => values[Math.min(Math.floor(u * values.length), values.length - 1)];
    }
  }
}

function noMass(fail: (found: string, allowed: string) => never, min: number, max: number): never {
  return fail(`limits ${min} and ${max}`, 'limits that leave some of the distribution between them are allowed');
}
