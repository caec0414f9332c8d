/** Designs that spread uniform numbers more evenly than chance does: independent replicates of a fixed size. */
import { InputError } from '../rack/errors.js';
import { SCENARIO_QUANTITIES, type Study } from '../rack/studyModel.js';
import { correlatedQuantities, type CorrelatedQuantities } from './correlatedQuantities.js';
import { LatinHypercube } from './latinHypercube.js';
import { randomStream } from './randomStream.js';
import { scrambled, sobolBits } from './sobolPoints.js';

/** The coordinate that chooses the source arrangement, after those of SCENARIO_QUANTITIES. */
export const SOURCE_COORDINATE = SCENARIO_QUANTITIES.length;

const JUST_BELOW_ONE = 1 - 2 ** -53;
const TWO_32 = 2 ** 32;

/** Spreads one uniform number per scenario and coordinate; every number stays uniform by itself. */
export interface SpreadDesign {
  /** @param within uniform over 0..1, independent: where in its cell the number lies */
  uniform(index: number, coordinate: number, within: number): number;
  /** Whether the coordinates already have the study's rank correlations. */
  readonly correlates: boolean;
}

/**
 * The design of a study; null where every scenario is drawn by itself.
 * @throws InputError for a size that the design cannot have
 */
export function spreadDesign(study: Study): SpreadDesign | null {
  const { sampling, seed } = study;
  switch (sampling.design) {
    case 'plain':
      return null;
    case 'latin-hypercube':
      return new HypercubeDesign(seed, sampling.size, correlatedQuantities(study));
    case 'sobol':
      return new SobolDesign(seed, sampling.size);
  }
}

class HypercubeDesign implements SpreadDesign {
  readonly correlates = true;
  private readonly hypercube: LatinHypercube;

  constructor(seed: string, private readonly size: number, correlated: CorrelatedQuantities | null) {
    this.hypercube = new LatinHypercube(seed, size, correlated);
  }

  uniform(index: number, coordinate: number, within: number): number {
    // The sum may round up to the whole size.
    return Math.min((this.hypercube.stratum(index, coordinate) + within) / this.size, JUST_BELOW_ONE);
  }
}

class SobolDesign implements SpreadDesign {
  readonly correlates = false;
  private replicate = -1;
  /** `[coordinate]`. */
  private readonly keys = new Uint32Array(SOURCE_COORDINATE + 1);

  constructor(private readonly seed: string, private readonly size: number) {
    if (!Number.isInteger(Math.log2(size)) || size < 2 || size > 2 ** 20) {
      throw new InputError([{
        file: 'study', path: 'sampling.size', found: String(size), allowed: 'a power of two from 2 to 1048576 is allowed',
      }]);
    }
  }

  uniform(index: number, coordinate: number, within: number): number {
    const replicate = Math.floor(index / this.size);
    if (replicate !== this.replicate) {
      const stream = randomStream(this.seed, replicate, 'strata');
      for (let k = 0; k < this.keys.length; k++) this.keys[k] = stream.integerBelow(TWO_32);
      this.replicate = replicate;
    }
    const bits = scrambled(sobolBits(index - replicate * this.size, coordinate), this.keys[coordinate]);
    // Beyond 32 binary digits the coins are fair anyway.
    return Math.min(Math.max((bits + within) / TWO_32, Number.MIN_VALUE), JUST_BELOW_ONE);
  }
}
