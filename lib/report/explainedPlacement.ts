import type { Replay } from '../study/index.js';

/** A placement that carries little, with why. */
export interface ExplainedPlacement {
  /** What it is, e.g. `Worst found`. */
  readonly heading: string;
  readonly replay: Replay;
  /** As `explainWorst` says it; empty where nothing is to be said. */
  readonly explanation: string;
}
