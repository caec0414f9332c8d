import type { SourceType } from '../model.js';

/** A source type of the study with the number of its units. */
export interface CountedSource {
  readonly type: SourceType;
  readonly count: number;
}
