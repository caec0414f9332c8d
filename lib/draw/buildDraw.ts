import { SCENARIO_QUANTITIES, type ScenarioQuantity, type Study } from '../rack/studyModel.js';
import { correlatedQuantities, type CorrelatedQuantities } from './correlatedQuantities.js';
import { distributionQuantile, type QuantileFunction } from './distributionQuantile.js';
import { LatinHypercube } from './latinHypercube.js';
import { normalCdf, normalQuantile } from './normalDistribution.js';
import { randomStream } from './randomStream.js';
import { NOMINAL_BUILD, type Build } from './scenario.js';

const JUST_BELOW_ONE = 1 - 2 ** -53;

/**
 * Draws the quantities that have one value per scenario.
 *
 * Each of SCENARIO_QUANTITIES takes one uniform number from the stream `build` of the scenario, whether it varies or
 * not, so that letting one more vary leaves the others as they were. Plain design: the numbers as they come, correlated
 * through a Gaussian copula. Latin hypercube: u = (stratum + uniform)/size.
 */
export class BuildDraw {
  private readonly seed: string;
  /** `[quantity]`; null where it does not vary. */
  private readonly quantiles: readonly (QuantileFunction | null)[];
  private readonly correlated: CorrelatedQuantities | null;
  private readonly hypercube: LatinHypercube | null;
  private readonly size: number;
  private readonly uniforms = new Float64Array(SCENARIO_QUANTITIES.length);

  /** @throws InputError for a distribution, correlation or design that cannot be drawn */
  constructor(study: Study) {
    const { seed, uncertain, sampling } = study;
    this.seed = seed;
    this.quantiles = SCENARIO_QUANTITIES.map((quantity) => {
      const given = uncertain.perScenario[quantity];
      return given ? distributionQuantile(given, `uncertain.perScenario.${quantity}`) : null;
    });
    this.correlated = correlatedQuantities(study);
    this.size = sampling.design === 'latin-hypercube' ? sampling.size : 1;
    this.hypercube =
      sampling.design === 'latin-hypercube' ? new LatinHypercube(seed, sampling.size, this.correlated) : null;
  }

  draw(index: number): Build {
    const { quantiles, uniforms, hypercube } = this;
    if (quantiles.every((quantile) => quantile === null)) return NOMINAL_BUILD;
    const stream = randomStream(this.seed, index, 'build');
    for (let at = 0; at < uniforms.length; at++) uniforms[at] = stream.double();
    if (hypercube) {
      for (let at = 0; at < uniforms.length; at++) {
        // The sum may round up to the whole size.
        uniforms[at] = Math.min((hypercube.stratum(index, at) + uniforms[at]) / this.size, JUST_BELOW_ONE);
      }
    } else if (this.correlated) {
      correlate(uniforms, this.correlated);
    }
    const build: { -readonly [quantity in ScenarioQuantity]: Build[quantity] } = { ...NOMINAL_BUILD };
    SCENARIO_QUANTITIES.forEach((quantity, at) => {
      const quantile = quantiles[at];
      if (quantile) build[quantity] = quantile(uniforms[at]);
    });
    return build;
  }
}

/** Gaussian copula: u = Φ(L·Φ⁻¹(u)). */
function correlate(uniforms: Float64Array, { quantities, factor }: CorrelatedQuantities): void {
  const normals = quantities.map((quantity) => normalQuantile(uniforms[quantity]));
  quantities.forEach((quantity, row) => {
    let sum = 0;
    for (let k = 0; k <= row; k++) sum += factor[row][k] * normals[k];
    uniforms[quantity] = Math.min(Math.max(normalCdf(sum), Number.MIN_VALUE), JUST_BELOW_ONE);
  });
}
