/**
 * How rarely a rack carries less than a power, where plain scenarios would meet that too seldom to count: multilevel
 * splitting (Kahn & Harris 1951; subset simulation, Au & Beck 2001, Probabilistic Engineering Mechanics 16, 263).
 *
 * A population of scenarios is led down a ladder of powers L1 > L2 > …: of those drawn, the ones at or below L1 go on;
 * copies of them are moved about below L1 until they are spread as the law is there; the part of them at or below L2
 * estimates P(power ≤ L2 | power ≤ L1), and so on. A move draws some of a scenario's random numbers anew, chosen without
 * looking at the scenario, and is kept where the power stays at or below the level: that leaves the law below the level
 * as it is, whatever the placement rules and distributions (Metropolis et al. 1953 with a proposal that keeps the law
 * itself). Powers that occur again and again are no harm: a scenario at the level goes on.
 *
 * The levels are chosen by a pilot run and then fixed: with fixed levels the product of the parts is an unbiased estimate
 * of the probability (Cérou, Del Moral, Furon & Guyader 2012, Statistics and Computing 22, 795). Intervals come from
 * independent replicates alone.
 */
import { PlacementNotFound, randomStream, type RandomStream, RecordedStream, scenarioSource, type Scenario } from '../draw/index.js';
import { NoFeedError, RackModel, RatingError } from '../ladder/index.js';
import type { Study } from '../rack/studyModel.js';
import { clopperPearson, replicateInterval } from '../statistics/index.js';

export interface RareOptions {
  /** W: how likely is a rated power at or below it? */
  readonly below: number;
  /** Scenarios in a population. Default 500. */
  readonly population?: number;
  /** Moves of each scenario at each level. Default 12. */
  readonly moves?: number;
  /** Independent runs with the levels of the pilot. Default 10. */
  readonly replicates?: number;
  /** Two-sided confidence of the interval. Default: the study's. */
  readonly confidence?: number;
  readonly seed?: string;
  readonly onProgress?: (done: number, planned: number) => void;
}

export interface RarePower {
  /** W. */
  readonly below: number;
  /** Estimate of P(rated power ≤ below), unbiased. */
  readonly probability: number;
  /**
   * Student-t interval over the replicates, the lower end not below 0, the upper one on the logarithm: estimates are products,
   * more of them too low than too high, and a chance told too low is the dangerous side. Of estimates whose logarithms spread by 0.33
   * (0.6) the upper end of ten lies below the truth in 4 % (6 %) instead of 2.5 %. Where one level suffices, which makes
   * plain scenarios of all, the interval of Clopper and Pearson.
   */
  readonly lower: number;
  readonly upper: number;
  readonly method: 'independent runs' | 'Clopper–Pearson';
  readonly confidence: number;
  /** The estimate of each replicate. */
  readonly estimates: readonly number[];
  /** W, descending, the last is `below`. */
  readonly levels: readonly number[];
  /** Rated powers or comparisons with a level that were computed, pilot included. */
  readonly ratings: number;
  /** Part of the moves that were kept, by level: where it is near 0 the population hardly moves. */
  readonly movesKept: readonly number[];
  /** The lowest rated power met, W, and its scenario. */
  readonly lowest: { readonly power: number; readonly scenario: Scenario };
}

/** The levels do not come down to the power asked for, or no run does: nothing can be said of how likely it is. */
export class TooRare extends Error {
  /** @param where they end */
  constructor(readonly below: number, where: string) {
    super(`no scenario at or below ${(below / 1000).toFixed(3)} kW was met: ${where}. The search for the worst placement and the `
      + 'floor say more about powers that low');
    this.name = 'TooRare';
  }
}

/** Part of a population that goes on to the next level of the pilot. */
const KEPT = 0.15;
const MOST_LEVELS = 60;
/** Chances that a number of the chosen kind is drawn anew: small steps and large ones. The scenario has no say in it. */
const REDRAWN = [0.03, 0.1, 0.3, 1] as const;
const PURPOSES = ['placement', 'contacts', 'sharing', 'build'] as const;
type Purpose = (typeof PURPOSES)[number];

/** One scenario: its random numbers and what they make. Never changed. */
interface Walker {
  readonly numbers: Readonly<Record<Purpose, readonly number[]>>;
  readonly power: number;
}

/**
 * @throws TooRare, RangeError for options that make no sense
 */
export function rarePower(study: Study, options: RareOptions): RarePower {
  const { below, population = 500, moves = 12, replicates = 10, confidence = study.confidence, seed = study.seed } = options;
  if (!(below > 0 && Number.isFinite(below))) throw new RangeError(`below ${below} W: a power above 0 is needed`);
  for (const [name, value, least] of [['population', population, 50], ['moves', moves, 1], ['replicates', replicates, 2]] as const) {
    if (!Number.isInteger(value) || value < least) throw new RangeError(`${name} ${value}: a whole number from ${least} is needed`);
  }
  const walk = new Walk(study, below);
  const pilot = walk.pilot(population, moves, randomStream(seed, 0, 'rare'));
  options.onProgress?.(1, replicates + 1);
  const estimates: number[] = [];
  const kept = pilot.map(() => ({ tried: 0, kept: 0 }));
  for (let r = 1; r <= replicates; r++) {
    estimates.push(walk.replicate(pilot, population, moves, randomStream(seed, r, 'rare'), kept));
    options.onProgress?.(r + 1, replicates + 1);
  }
  if (walk.lowest === null) throw new RangeError('no scenario was rated');
  if (estimates.every((estimate) => estimate === 0)) {
    throw new TooRare(below, `none of ${replicates} runs of ${population} scenarios came down to it; a larger population may`);
  }
  return {
    below, ...intervalOf(estimates, pilot.length, population, confidence), confidence, estimates,
    levels: pilot, ratings: walk.ratings,
    movesKept: kept.slice(0, -1).map(({ tried, kept: accepted }) => (tried === 0 ? 0 : accepted / tried)),
    lowest: walk.lowest,
  };
}

/** Of one level the runs are plain scenarios, all together; else the runs alone are independent. */
function intervalOf(
  estimates: readonly number[], levels: number, population: number, confidence: number,
): Pick<RarePower, 'probability' | 'lower' | 'upper' | 'method'> {
  if (levels === 1) {
    const all = estimates.length * population;
    const met = Math.round(estimates.reduce((sum, estimate) => sum + estimate * population, 0));
    const { lower, upper } = clopperPearson(met, all, confidence);
    return { probability: met / all, lower, upper, method: 'Clopper–Pearson' };
  }
  const { mean, lower, upper } = replicateInterval(estimates, confidence);
  return {
    probability: mean, lower: Math.max(0, lower), upper: Math.min(1, mean * Math.exp((upper - mean) / mean)), method: 'independent runs',
  };
}

class Walk {
  ratings = 0;
  lowest: { power: number; scenario: Scenario } | null = null;
  private readonly source: ReturnType<typeof scenarioSource>;
  private readonly model: RackModel;

  constructor(study: Study, private readonly below: number) {
    this.source = scenarioSource(study);
    this.model = new RackModel(study.rack);
  }

  /** Levels by the powers met, the last one the power asked for. */
  pilot(population: number, moves: number, stream: RandomStream): number[] {
    const levels: number[] = [];
    let walkers = Array.from({ length: population }, () => this.fresh(stream));
    let probability = 1;
    for (;;) {
      const powers = walkers.map(({ power }) => power).sort((a, b) => a - b);
      const level = powers[Math.max(0, Math.ceil(KEPT * population) - 1)];
      if (level <= this.below) return [...levels, this.below];
      const last = levels[levels.length - 1] ?? Number.POSITIVE_INFINITY;
      // Nothing lies below the level before, or the ladder is too long: the lowest powers met occur again and again.
      if (level >= last || levels.length === MOST_LEVELS) {
        if (powers[0] <= this.below) return [...levels, this.below];
        throw new TooRare(this.below, `the levels end at ${(powers[0] / 1000).toFixed(3)} kW, below which lies a part of about `
          + probability.toExponential(1));
      }
      levels.push(level);
      const survivors = walkers.filter(({ power }) => power <= level);
      probability *= survivors.length / population;
      walkers = this.spread(survivors, population, level, moves, stream, { tried: 0, kept: 0 });
    }
  }

  /** One unbiased estimate of the probability at the last level. */
  replicate(
    levels: readonly number[], population: number, moves: number, stream: RandomStream,
    kept: readonly { tried: number; kept: number }[],
  ): number {
    let walkers = Array.from({ length: population }, () => this.fresh(stream));
    let probability = 1;
    for (let k = 0; k < levels.length; k++) {
      const survivors = walkers.filter(({ power }) => power <= levels[k]);
      probability *= survivors.length / population;
      if (survivors.length === 0 || k === levels.length - 1) return probability;
      walkers = this.spread(survivors, population, levels[k], moves, stream, kept[k]);
    }
    return probability;
  }

  /** A population from survivors, each copied as evenly as chance allows without favour, and moved about below the level. */
  private spread(
    survivors: readonly Walker[], population: number, level: number, moves: number, stream: RandomStream,
    count: { tried: number; kept: number },
  ): Walker[] {
    // Systematic resampling from a random start: every survivor is expected equally often.
    const start = stream.double();
    return Array.from({ length: population }, (_, k) => {
      let walker = survivors[Math.min(survivors.length - 1, Math.floor(((k + start) * survivors.length) / population))];
      for (let move = 0; move < moves; move++) {
        count.tried++;
        const next = this.moved(walker, level, stream);
        if (next === null) continue;
        walker = next;
        count.kept++;
      }
      return walker;
    });
  }

  private fresh(stream: RandomStream): Walker {
    return this.made({ placement: [], contacts: [], sharing: [], build: [] }, Number.POSITIVE_INFINITY, stream)
      ?? { numbers: { placement: [], contacts: [], sharing: [], build: [] }, power: 0 };
  }

  /** The scenario with some of its numbers drawn anew, or null where it would leave the level. */
  private moved(walker: Walker, level: number, stream: RandomStream): Walker | null {
    // Which numbers, is decided without looking at the scenario: one block, or one kind of quantity, a few or many of them.
    const purpose = PURPOSES[stream.quick() < 0.5 ? 0 : stream.integerBelow(PURPOSES.length)];
    const before = walker.numbers[purpose];
    if (before.length === 0) return null;
    const chance = REDRAWN[stream.integerBelow(REDRAWN.length)];
    const numbers = before.map((u) => (stream.quick() < chance ? stream.double() : u));
    return this.made({ ...walker.numbers, [purpose]: numbers }, level, stream);
  }

  /** Rates the scenario of given numbers (what they lack is drawn); null where its power lies above the level. */
  private made(numbers: Readonly<Record<Purpose, readonly number[]>>, level: number, stream: RandomStream): Walker | null {
    const own: Record<Purpose, number[]> = {
      placement: [...numbers.placement], contacts: [...numbers.contacts], sharing: [...numbers.sharing], build: [...numbers.build],
    };
    this.ratings++;
    let scenario: Scenario;
    let power: number;
    try {
      ({ scenario } = this.source.drawFrom((purpose) => new RecordedStream(own[purpose], stream)));
      const rated = Number.isFinite(level) ? this.model.rateBelow(scenario, level * (1 + 1e-9)) : this.model.rate(scenario);
      if (rated === null) return null;
      power = rated.power;
    } catch (error) {
      // As in a study, what cannot be placed, fed or rated carries nothing.
      const isUnrated = error instanceof PlacementNotFound || error instanceof NoFeedError || error instanceof RatingError;
      if (!isUnrated) throw error;
      return { numbers: own, power: 0 };
    }
    if (power > level) return null;
    if (this.lowest === null || power < this.lowest.power) this.lowest = { power, scenario };
    return { numbers: own, power };
  }
}
