import type { Catalogue } from '../model.js';
import type { LoadsDraw } from '../studyModel.js';
import type { ProblemLog } from '../text/problemLog.js';
import { overlaps } from '../text/spans.js';
import type { ReadLoads } from './loads.js';
import { logPlaces } from './places.js';
import type { ReadSources } from './sources.js';

/** Slots the sources need at least: groups of sources need one slot between each other. */
export function sourceSlots({ draw: { positions }, types }: ReadSources): number {
  const height = (types ?? []).reduce((sum, { type, count }) => sum + count * type.heightSlots, 0);
  if (positions.draw !== 'groups') {
    return height;
  }
  const total = (types ?? []).reduce((sum, { count }) => sum + count, 0);
  const grouped = positions.sizes.reduce((sum, size) => sum + size, 0);
  // Groups that do not hold all sources are a problem already; counting gaps from them would raise a second one.
  return grouped === total ? height + positions.sizes.length - 1 : height;
}

type CountedLoads = LoadsDraw & { draw: 'even' | 'random-split' };

function logCountFit(draw: CountedLoads, height: number, free: number, log: ProblemLog): void {
  const most = Math.floor(free / height);
  const each = height === 1 ? 'one slot' : `${height} slots`;
  if (draw.count.max > most) {
    log.add('loads.count.max', String(draw.count.max),
      `give at most ${most}: the sources leave ${free} slots and each unit takes ${each}`);
  }
}

/**
 * Checks that sources and loads have room together, by height alone; whether the placement rules leave a way to
 * arrange them is found when placements are counted.
 */
export function logFit(
  sources: ReadSources, loads: ReadLoads, catalogue: Catalogue, slotCount: number, log: ProblemLog,
): void {
  const { draw } = loads;
  const taken = sourceSlots(sources);
  const free = slotCount - taken;
  if (sources.draw.positions.draw === 'fixed' && draw?.draw === 'fixed') {
    logPlacesTogether(sources, loads, slotCount, log);
    return;
  }
  if (free < 0) {
    if (sources.draw.positions.draw !== 'fixed') {
      log.add('sources.units', `sources that need ${taken} slots`, `give at most the ${slotCount} slots of the rack`);
    }
    return;
  }
  switch (draw?.draw) {
    case 'even':
    case 'random-split':
      if (loads.heightSlots !== null) {
        logCountFit(draw, loads.heightSlots, free, log);
      }
      break;
    case 'fixed': {
      const height = loads.fixed.reduce((sum, { heightSlots }) => sum + heightSlots, 0);
      if (height > free && overlaps(spansOf(loads.fixed)).length === 0) {
        log.add('loads.units', `loads that take ${height} slots`, `give at most ${free}: the sources need ${taken} of `
          + `the rack's ${slotCount} slots`);
      }
      break;
    }
    case 'catalogue':
    case 'all-or-nothing': {
      const least = loads.heightSlots ?? Math.min(...catalogue.loads.map(({ heightSlots }) => heightSlots));
      if (least > free && least <= slotCount) {
        log.add('sources.units', `sources that need ${taken} of the rack's ${slotCount} slots`,
          `leave room for loads: the lowest takes ${least === 1 ? 'one slot' : `${least} slots`}`);
      }
      break;
    }
    default:
  }
}

function spansOf(places: ReadLoads['fixed']): { from: number; to: number }[] {
  return places.map(({ bottomSlot, heightSlots }) => ({ from: bottomSlot, to: bottomSlot + heightSlots - 1 }));
}

/** Loads against sources, where both have given places: each kind by itself is checked already. */
function logPlacesTogether(sources: ReadSources, loads: ReadLoads, slotCount: number, log: ProblemLog): void {
  const all = [...sources.fixed, ...loads.fixed];
  const alone = overlaps(spansOf(sources.fixed)).length + overlaps(spansOf(loads.fixed)).length;
  const inside = all.every(({ bottomSlot, heightSlots }) => bottomSlot + heightSlots - 1 <= slotCount);
  if (alone === 0 && inside) {
    logPlaces(all, slotCount, log);
  }
}
