import { InputError } from '../rack/errors.js';
import { SCENARIO_QUANTITIES, type ScenarioQuantity, type Study } from '../rack/studyModel.js';

/** The quantities that correlations name, and how to correlate normal numbers for them. */
export interface CorrelatedQuantities {
  /** Positions in SCENARIO_QUANTITIES. */
  readonly quantities: readonly number[];
  /** `[row][column]`: lower Cholesky factor of the correlation matrix of the normal scores. */
  readonly factor: readonly (readonly number[])[];
}

/**
 * Resolves a study's rank correlations for a Gaussian copula.
 *
 * A Spearman correlation ρ_s between two quantities is that of two normal numbers with correlation 2·sin(π·ρ_s/6)
 * (Pearson 1907; Kruskal 1958, "Ordinal measures of association"). Pairs that are not named get 0.
 * @returns null when the study names no correlation
 * @throws InputError when a pair names one quantity twice, a quantity that does not vary, a pair already named, a
 *   correlation outside −1..1, or when the pairs contradict each other (no positive semidefinite matrix)
 */
export function correlatedQuantities(study: Study): CorrelatedQuantities | null {
  const { correlations, uncertain } = study;
  if (correlations.length === 0) return null;
  const quantities = SCENARIO_QUANTITIES.map((_, at) => at).filter((at) =>
    correlations.some(({ between }) => between.includes(SCENARIO_QUANTITIES[at])),
  );
  const matrix: number[][] = quantities.map((_, row) => quantities.map((__, column) => (row === column ? 1 : 0)));
  const seen = new Set<string>();
  correlations.forEach(({ between, rank }, at) => {
    const path = `correlations[${at}]`;
    for (const quantity of between) {
      const given = uncertain.perScenario[quantity];
      if (given === undefined || given.distribution === 'fixed') {
        fail(`${path}.between`, `"${quantity}", which does not vary`, 'quantities with a distribution are allowed');
      }
    }
    const [row, column] = between.map((quantity) => quantities.indexOf(positionOf(quantity)));
    const pair = `${Math.min(row, column)} ${Math.max(row, column)}`;
    if (row === column) fail(`${path}.between`, `"${between[0]}" twice`, 'two different quantities are allowed');
    if (seen.has(pair)) fail(`${path}.between`, `"${between.join('" and "')}" again`, 'each pair is allowed once');
    if (!(rank >= -1 && rank <= 1)) fail(`${path}.rank`, String(rank), 'a rank correlation in −1..1 is allowed');
    seen.add(pair);
    matrix[row][column] = matrix[column][row] = 2 * Math.sin((Math.PI * rank) / 6);
  });
  const factor = choleskyFactor(matrix);
  if (factor === null) {
    const named = correlations.map(({ between, rank }) => `${between.join('–')} ${rank}`).join(', ');
    fail('correlations', named, 'these contradict each other (no such quantities exist); weaken one of them');
  }
  return { quantities, factor: factor as number[][] };
}

/** The lower factor L of a symmetric matrix M = L·Lᵀ; null when M is not positive semidefinite. */
export function choleskyFactor(matrix: readonly (readonly number[])[]): number[][] | null {
  const rounding = 1e-10;
  const factor = matrix.map((row) => row.map(() => 0));
  for (let column = 0; column < matrix.length; column++) {
    for (let row = column; row < matrix.length; row++) {
      let rest = matrix[row][column];
      for (let k = 0; k < column; k++) rest -= factor[row][k] * factor[column][k];
      if (row === column) {
        if (rest < -rounding) return null;
        factor[row][row] = rest > rounding ? Math.sqrt(rest) : 0;
      } else if (factor[column][column] > 0) {
        factor[row][column] = rest / factor[column][column];
      } else if (Math.abs(rest) > rounding) {
        return null;
      }
    }
  }
  return factor;
}

function positionOf(quantity: ScenarioQuantity): number {
  return SCENARIO_QUANTITIES.indexOf(quantity);
}

function fail(path: string, found: string, allowed: string): never {
  throw new InputError([{ file: 'study', path, found, allowed }]);
}
