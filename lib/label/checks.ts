import type { LabelSample } from './labelSample.js';

/** @throws RangeError unless value is finite and above 0 */
export function requirePositive(name: string, value: number, unit: string): void {
  if (!(value > 0 && Number.isFinite(value))) {
    throw new RangeError(`${name}: found ${value} ${unit}; a finite number above 0 ${unit} is needed`);
  }
}

/** @throws RangeError unless value lies between 0 and 100, both excluded */
export function requireOpenPercent(name: string, value: number): void {
  if (!(value > 0 && value < 100)) {
    throw new RangeError(`${name}: found ${value} %; a number above 0 % and below 100 % is needed`);
  }
}

/** @throws RangeError unless every percentile is a fraction from 0 to 1 */
export function requirePercentiles(percentiles: readonly number[]): void {
  percentiles.forEach((p, i) => {
    if (!(p >= 0 && p <= 1)) {
      throw new RangeError(
        `percentiles[${i}]: found ${p}; a fraction from 0 to 1 is needed (0.01 for the 1st percentile)`,
      );
    }
  });
}

/** @throws RangeError unless the labels, W, are finite, above 0 and ascending without repetition */
export function requireLabels(labels: readonly number[]): void {
  if (labels.length === 0) throw new RangeError('labels: found none; give at least one, or leave them out');
  labels.forEach((label, i) => {
    requirePositive(`labels[${i}]`, label, 'W');
    if (i > 0 && label <= labels[i - 1]) {
      throw new RangeError(
        `labels[${i}]: found ${label} W after ${labels[i - 1]} W; give the labels in ascending order, each once`,
      );
    }
  });
}

/** @throws RangeError for a sample that no share or bound can be computed from */
export function requireSample(sample: LabelSample): void {
  const { ratedPower, limit, placementClass, confidence, looks, sampling } = sample;
  const n = ratedPower.length;
  if (n === 0) throw new RangeError('sample: found no scenarios; at least 1 is needed');
  if (limit.length !== n || placementClass.length !== n) {
    throw new RangeError(
      `sample: found ${n} rated powers, ${limit.length} limits and ${placementClass.length} placement classes; `
      + 'one of each per scenario is needed',
    );
  }
  if (limit.every((name) => name === null)) {
    throw new RangeError(`sample: found ${n} scenarios of which none was rated; replay one of them to see why`);
  }
  for (let i = 0; i < n; i++) {
    if (!(ratedPower[i] >= 0 && Number.isFinite(ratedPower[i]))) {
      throw new RangeError(
        `sample.ratedPower[${i}]: found ${ratedPower[i]} W; a finite power of at least 0 W is needed`,
      );
    }
  }
  if (!(confidence > 0 && confidence < 1)) {
    throw new RangeError(`sample.confidence: found ${confidence}; a fraction above 0 and below 1 is needed`);
  }
  if (!Number.isSafeInteger(looks) || looks < 1) {
    throw new RangeError(`sample.looks: found ${looks}; a whole number of at least 1 is needed`);
  }
  if (sampling.design !== 'plain' && !(Number.isSafeInteger(sampling.size) && sampling.size >= 1)) {
    throw new RangeError(`sample.sampling.size: found ${sampling.size}; a whole number of at least 1 is needed`);
  }
}
