import type { SourceCount, SourcePositions } from '../studyModel.js';
import type { ProblemLog } from '../text/problemLog.js';
import { describeSpan, overlaps } from '../text/spans.js';
import { logBand } from './bands.js';
import type { CountedSource } from './countedSource.js';

function logGroups(sizes: readonly number[], total: number, log: ProblemLog): void {
  const grouped = sizes.reduce((sum, size) => sum + size, 0);
  if (grouped !== total) {
    log.add('sources.positions.sizes', `${grouped} sources in all`,
      `the sizes must add up to the ${total} sources of "units"`);
  }
}

type Bands = (SourcePositions & { draw: 'bands' })['bands'];

function logBands(
  bands: Bands, total: number, types: readonly CountedSource[] | null, slotCount: number | null, log: ProblemLog,
): void {
  const path = (index: number): string => `sources.positions.bands[${index}]`;
  const sound = bands.map((band, index) => logBand(band, path(index), slotCount, log)).every(Boolean);
  if (!sound) {
    return;
  }
  const spans = bands.map(({ fromSlot, toSlot }) => ({ from: fromSlot, to: toSlot }));
  for (const [lower, upper] of overlaps(spans)) {
    log.add(path(upper), describeSpan(spans[upper]),
      `bands may not overlap, and bands[${lower}] covers ${describeSpan(spans[lower])}`);
  }
  const banded = bands.reduce((sum, { count }) => sum + count, 0);
  if (banded !== total) {
    log.add('sources.positions.bands', `${banded} sources in all`,
      `the counts must add up to the ${total} sources of "units"`);
    return;
  }
  const heights = (types ?? []).flatMap(({ type, count }) => Array<number>(count).fill(type.heightSlots))
    .sort((a, b) => a - b);
  bands.forEach(({ count, fromSlot, toSlot }, index) => {
    const least = heights.slice(0, count).reduce((sum, height) => sum + height, 0);
    if (least > toSlot - fromSlot + 1) {
      log.add(`${path(index)}.count`, String(count), `${count} sources take at least ${least} slots, and the band has `
        + `${toSlot - fromSlot + 1}: give fewer sources or a wider band`);
    }
  });
}

/** Checks that groups and bands hold all sources. */
export function logPositions(
  positions: SourcePositions, counts: readonly SourceCount[], types: readonly CountedSource[] | null,
  slotCount: number | null, log: ProblemLog,
): void {
  const total = counts.reduce((sum, { count }) => sum + count, 0);
  // Without a single source there is a problem already, and no number to compare with.
  if (total > 0 && positions.draw === 'groups') {
    logGroups(positions.sizes, total, log);
  }
  if (total > 0 && positions.draw === 'bands') {
    logBands(positions.bands, total, types, slotCount, log);
  }
}
