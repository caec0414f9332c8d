/** An argument that a statistic cannot be computed from. Nothing has been computed. */
export class StatisticsInputError extends Error {
  /** Name of the argument, e.g. `sorted[3]`. */
  readonly argument: string;
  /** What was found, as text. */
  readonly found: string;
  /** What is allowed and what to do. */
  readonly allowed: string;
  constructor(argument: string, found: unknown, allowed: string) {
    super(`${argument}: found ${String(found)}; ${allowed}`);
    this.name = 'StatisticsInputError';
    this.argument = argument;
    this.found = String(found);
    this.allowed = allowed;
  }
}

/** Too few independent values for the bound asked for; says how many suffice. */
export class SampleTooSmall extends Error {
  /** Sample size found. */
  readonly n: number;
  /** Fraction 0..1 whose quantile was to be bounded. */
  readonly p: number;
  /** Confidence asked for, 0..1. */
  readonly confidence: number;
  /** Least sample size that gives the bound. */
  readonly leastSampleSize: number;
  constructor(n: number, p: number, confidence: number, leastSampleSize: number) {
    super(
      `sample of ${n}: too small to bound the ${p} quantile with confidence ${confidence}; ` +
        `at least ${leastSampleSize} independent values are needed: run more scenarios, ` +
        'or ask for a less extreme percentile or a lower confidence',
    );
    this.name = 'SampleTooSmall';
    this.n = n;
    this.p = p;
    this.confidence = confidence;
    this.leastSampleSize = leastSampleSize;
  }
}
