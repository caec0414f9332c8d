import { describe, expect, it } from 'vitest';
import { scrambled, sobolBits } from '../../lib/draw/sobolPoints.js';
import { sobolIndices } from '../../lib/statistics/index.js';
import { uniforms } from '../statistics/support.js';
import { publishedCheck } from './publishedCheck.js';

const ROWS = 2 ** 15;
const TWO_32 = 2 ** 32;

/** Ishigami & Homma (1990), first international symposium on uncertainty modeling and analysis, 398; a = 7, b = 0.1. */
const ishigami = ([x, y, z]: readonly number[]) => Math.sin(x) + 7 * Math.sin(y) ** 2 + 0.1 * z ** 4 * Math.sin(x);

describe('published Sobol indices', () => {
  const random = uniforms('ishigami');
  const keys = Array.from({ length: 6 }, () => Math.floor(random() * TWO_32));
  const matrix = (from: number) =>
    Array.from({ length: ROWS }, (_, j) =>
      [0, 1, 2].map((k) => Math.PI * (2 * ((scrambled(sobolBits(j, from + k), keys[from + k]) + 0.5) / TWO_32) - 1)),
    );
  const [a, b] = [matrix(0), matrix(3)];
  const { indices } = sobolIndices(
    {
      a: a.map(ishigami),
      b: b.map(ishigami),
      mixed: [0, 1, 2].map((k) => a.map((row, j) => ishigami(row.map((x, at) => (at === k ? b[j][at] : x))))),
    },
    { confidence: 0.95, resamples: 20, random },
  );

  // Variances of the parts in closed form: V1 = (1 + bπ⁴/5)²/2, V2 = a²/8, V13 = 8b²π⁸/225, nothing else.
  const published = { first: [0.3139, 0.4424, 0], total: [0.5576, 0.4424, 0.2437] };
  for (const kind of ['first', 'total'] as const) {
    it.each([0, 1, 2])(`of the Ishigami function, ${kind} order of factor %i`, (k) => {
      publishedCheck({
        section: 'D',
        unit: '1',
        quantity: `Ishigami function, ${kind === 'first' ? 'first-order' : 'total'} index of factor ${k + 1}`,
        source: 'Ishigami & Homma (1990), a 7, b 0.1; closed form of the variances',
        published: published[kind][k],
        ours: indices[k][kind].estimate,
        tolerance: { absolute: 0.002 },
        why: `digits printed, and what ${ROWS.toLocaleString('en-GB')} rows of scrambled Sobol points leave`,
      });
    });
  }

  it('have the digits of the closed form', () => {
    const [v1, v2, v13] = [(1 + (0.1 * Math.PI ** 4) / 5) ** 2 / 2, 49 / 8, (8 * 0.1 ** 2 * Math.PI ** 8) / 225];
    const parts = (values: readonly number[]) => values.map((value) => value / (v1 + v2 + v13));
    parts([v1, v2, 0]).forEach((value, k) => {
      expect(value).toBeCloseTo(published.first[k], 4);
    });
    parts([v1 + v13, v2, v13]).forEach((value, k) => {
      expect(value).toBeCloseTo(published.total[k], 4);
    });
  });
});
