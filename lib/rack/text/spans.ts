/** A run of slots, both ends included. */
export interface Span {
  readonly from: number;
  readonly to: number;
}

/**
 * Pairs that share a slot: `[index of the one lower down, index of the one that runs into it]`, at most one pair for
 * each span, in the order of the slots.
 */
export function overlaps(spans: readonly Span[]): [number, number][] {
  const order = spans.map((_, index) => index).sort((a, b) => spans[a].from - spans[b].from || a - b);
  const pairs: [number, number][] = [];
  let highest = order[0];
  for (const index of order.slice(1)) {
    if (spans[index].from <= spans[highest].to) {
      pairs.push([highest, index]);
    }
    if (spans[index].to > spans[highest].to) {
      highest = index;
    }
  }
  return pairs;
}

/** Runs of slots in 1..count that no span covers. */
export function bareRuns(spans: readonly Span[], count: number): Span[] {
  const runs: Span[] = [];
  let next = 1;
  for (const span of [...spans].sort((a, b) => a.from - b.from)) {
    if (span.from > next) {
      runs.push({ from: next, to: Math.min(span.from - 1, count) });
    }
    next = Math.max(next, span.to + 1);
  }
  if (next <= count) {
    runs.push({ from: next, to: count });
  }
  return runs.filter((run) => run.from <= run.to);
}

/** `slot 3` or `slots 3 to 5`. */
export function describeSpan(span: Span): string {
  return span.from === span.to ? `slot ${span.from}` : `slots ${span.from} to ${span.to}`;
}
