import { SCENARIO_QUANTITIES, type ScenarioQuantity, type Study } from '../rack/studyModel.js';
import { correlatedQuantities, type CorrelatedQuantities } from './correlatedQuantities.js';
import { distributionQuantile, type QuantileFunction } from './distributionQuantile.js';
import { normalCdf, normalQuantile } from './normalDistribution.js';
import { KeyedStream, type RandomStream } from './randomStream.js';
import { NOMINAL_BUILD, type Build } from './scenario.js';
import { spreadDesign, type SpreadDesign } from './spreadDesign.js';

const JUST_BELOW_ONE = 1 - 2 ** -53;

/**
 * Draws the quantities that have one value per scenario.
 *
 * Each of SCENARIO_QUANTITIES takes one uniform number from the stream `build` of the scenario, whether it varies or
 * not, so that letting one more vary leaves the others as they were. Plain design: the numbers as they come, correlated
 * through a Gaussian copula. Other designs: spread over their cells first (see spreadDesign.ts).
 */
export class BuildDraw {
  /** Where `draw` takes its numbers from. */
  readonly stream: KeyedStream;
  /** `[quantity]`; null where it does not vary. */
  private readonly quantiles: readonly (QuantileFunction | null)[];
  /** Whether none varies. */
  readonly isNominal: boolean;
  private readonly correlated: CorrelatedQuantities | null;
  private readonly design: SpreadDesign | null;
  private readonly uniforms = new Float64Array(SCENARIO_QUANTITIES.length);

  /** @throws InputError for a distribution, correlation or design that cannot be drawn */
  constructor(study: Study) {
    const { seed, uncertain } = study;
    this.stream = new KeyedStream(seed, 'build');
    this.quantiles = SCENARIO_QUANTITIES.map((quantity) => {
      const given = uncertain.perScenario[quantity];
      return given ? distributionQuantile(given, `uncertain.perScenario.${quantity}`) : null;
    });
    this.isNominal = this.quantiles.every((quantile) => quantile === null);
    this.correlated = correlatedQuantities(study);
    this.design = spreadDesign(study);
  }

  draw(index: number): Build {
    this.stream.begin(index);
    return this.drawBegun(index);
  }

  /** As draw, with the stream already at the beginning of the scenario's. */
  drawBegun(index: number): Build {
    if (this.isNominal) return NOMINAL_BUILD;
    const { uniforms, design, stream } = this;
    for (let at = 0; at < uniforms.length; at++) uniforms[at] = stream.double();
    if (design !== null) {
      for (let at = 0; at < uniforms.length; at++) uniforms[at] = design.uniform(index, at, uniforms[at]);
    }
    return this.buildOf(design?.correlates === true ? null : this.correlated);
  }

  /** As draw with the plain design, from a stream that is given. */
  drawFrom(stream: RandomStream): Build {
    if (this.isNominal) return NOMINAL_BUILD;
    const { uniforms } = this;
    for (let at = 0; at < uniforms.length; at++) uniforms[at] = stream.double();
    return this.buildOf(this.correlated);
  }

  private buildOf(correlated: CorrelatedQuantities | null): Build {
    const { quantiles, uniforms } = this;
    if (correlated !== null) correlate(uniforms, correlated);
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
