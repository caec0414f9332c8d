import {
  compileSourceArrangements, drawSourceArrangement, scenarioSource, type PlacedUnit, type RandomStream,
  type ScenarioSource,
} from '../draw/index.js';
import { preparePlacements } from '../draw/placements.js';
import type { Study } from '../rack/index.js';
import {
  isLoad, isSource, itemsAt, standingOf, type Candidate, type Layout, type StandingItem,
} from './searchLayout.js';
import type { SearchSpace } from './searchSpace.js';

/** Source arrangements looked through for the highest, lowest, most central one. */
const ARRANGEMENTS = 200;

/** Where the sources of a built start stand, and whether the strongest loads stand far from them. */
const BUILT = [
  { sources: 'top', farStrong: true }, { sources: 'bottom', farStrong: true },
  { sources: 'middle', farStrong: true }, { sources: 'top', farStrong: false },
  { sources: 'bottom', farStrong: false }, { sources: 'middle', farStrong: false },
] as const;

/** Placements to start a search from. */
export class SearchStarts {
  private readonly drawn: ScenarioSource;

  constructor(
    private readonly study: Study,
    seed: string,
    private readonly space: SearchSpace,
  ) {
    this.drawn = scenarioSource({ ...study, seed: `${seed} worst` });
  }

  /** A placement of the study's own draw, with the build at its worst end; null where rounding makes it not allowed. */
  draw(index: number): Candidate | null {
    const { units } = this.drawn.draw(index).scenario;
    return this.candidateOf(units);
  }

  /**
   * A drawn placement rearranged: sources as far to one end (or the middle) as their positions allow, loads ordered by
   * power per slot. Null where the rules do not allow it.
   */
  build(which: number, index: number, stream: RandomStream): Candidate | null {
    const { study, space } = this;
    const { slotCount } = space.book;
    const { sources, farStrong } = BUILT[which % BUILT.length];
    const drawn = this.draw(index);
    if (drawn === null) return null;
    const target = { top: slotCount, bottom: 1, middle: (slotCount + 1) / 2 }[sources];
    const standing = this.sourcesNear(target, stream, drawn);
    if (space.loadsFollow) {
      const items = itemsAt(slotCount, standing);
      return items === null ? null : space.candidate({ ...drawn.layout, items });
    }
    const loads = standingOf(drawn.layout.items).filter(({ item }) => isLoad(item))
      .sort((a, b) => a.item.power / a.item.heightSlots - b.item.power / b.item.heightSlots);
    // Weakest first in `loads`: what comes last is put first, from the end away from the sources.
    const order = farStrong ? loads.reverse() : loads;
    const fromTop = target < slotCount / 2;
    const taken = new Uint8Array(slotCount + 2);
    for (const { item, bottomSlot } of standing) taken.fill(1, bottomSlot, bottomSlot + item.heightSlots);
    const placed: StandingItem[] = [];
    for (const { item } of order) {
      const height = item.heightSlots;
      for (let step = 0; step + height <= slotCount; step++) {
        const bottom = fromTop ? slotCount + 1 - height - step : 1 + step;
        if (taken.subarray(bottom, bottom + height).includes(1)) continue;
        taken.fill(1, bottom, bottom + height);
        placed.push({ item, bottomSlot: bottom });
        break;
      }
    }
    const items = itemsAt(slotCount, [...standing, ...placed]);
    if (items === null) return null;
    return space.candidate({ ...drawn.layout, items }, study.loads.draw === 'catalogue' && fromTop);
  }

  private candidateOf(units: readonly PlacedUnit[]): Candidate | null {
    const { space, study } = this;
    if (study.loads.draw !== 'inventory' || study.loads.places === 'shuffled') {
      return space.candidate(space.layoutOf(units));
    }
    // Which rack was drawn is not said: the one that gives these loads.
    for (let rack = 0; rack < study.loads.racks.length; rack++) {
      const found: Layout = space.layoutOf(units, rack);
      const candidate = space.candidate(found);
      if (candidate !== null && candidate.units.length === units.length && candidate.units.every((unit, at) =>
        unit.bottomSlot === units[at].bottomSlot && unit.power === units[at].power)) return candidate;
    }
    return null;
  }

  private sourcesNear(target: number, stream: RandomStream, drawn: Candidate): StandingItem[] {
    const { study, space } = this;
    const own = standingOf(drawn.layout.items).filter(({ item }) => isSource(item));
    const compiled = study.loads.draw === 'fixed'
      ? preparePlacements(study).sources : compileSourceArrangements(study);
    let best = own;
    let least = Infinity;
    for (let attempt = 0; attempt < ARRANGEMENTS; attempt++) {
      const arrangement = drawSourceArrangement(compiled, stream);
      const away = arrangement.reduce((sum, { bottomSlot }) => sum + Math.abs(bottomSlot - target), 0);
      if (away >= least) continue;
      least = away;
      const weight = own[0].item.weight;
      best = arrangement.map(({ id, bottomSlot }) => {
        const type = space.book.types.source(id, 'placement');
        return { item: { type, heightSlots: type.heightSlots, power: 0, weight }, bottomSlot };
      });
    }
    return best;
  }
}
