import type { z } from 'zod';
import { list, number, object, preamble } from './parts.js';

export const LOAD_HISTORY_FORMAT = 'slotcast-load-history/1';

const step = object('a stretch of constant load', {
  durationS: number('how long it lasts, s', { above: 0, to: 1e7 }),
  loadKw: number('load of the whole placement, kW; 0 for none', { from: 0, to: 1e6 }),
});

/** Load over time. */
export const loadHistorySchema = object('Load over time: a steady load, then steps that may repeat.', {
  ...preamble(LOAD_HISTORY_FORMAT, 'load-over-time'),
  beforeKw: number('steady load before the first step, kW; 0 for none', { from: 0, to: 1e6 }),
  steps: list('what follows, in order', step, 1),
  cycles: number('how many times the steps are gone through', { from: 1, to: 10_000, whole: true }).default(1),
});

export type LoadHistoryFile = z.output<typeof loadHistorySchema>;
