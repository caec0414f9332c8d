/** Branches over classes of placements, and what each of them is known to carry. */
import { ruleBook, type RuleBook } from '../draw/ruleBook.js';
import { compileSegments } from '../ladder/segments.js';
import { InputError, type OperatingStateRule, type Pole, type Rack, type Study } from '../rack/index.js';
import { type Branch, COARSE_BINS, splitBranch } from './branch.js';
import type { Currents } from './currents.js';
import { largestShare, loadFamilies, type LoadFamily } from './loadFamilies.js';
import { NearestPlacement } from './nearestPlacement.js';
import { PlacementElectrics } from './placementElectrics.js';
import { PlacementProgram } from './placementProgram.js';
import { PoleBound, type PoleCase } from './poleBound.js';
import { type TargetCase, targetTerms } from './targetTerms.js';
import type { Range, ToleranceRanges } from './toleranceRanges.js';
import { worstContact } from './worstContact.js';

/** Relative slack for rounding in sums. */
const ROUNDING = 1e-9;

interface Carried {
  readonly carried: number;
  readonly rise: number;
  readonly by: TargetCase['kind'];
}

const LIMIT_OF = { rise: 'bar rise', bar: 'bar temperature', contact: 'contact temperature' } as const;

export class FloorSearch {
  classes = 0;
  /** W: no branch needs to be better than this: what the sources and contacts themselves allow, or `below`. */
  readonly ceiling: number;
  private readonly rack: Rack;
  private readonly book: RuleBook;
  private readonly poles: readonly Pole[];
  private readonly electrics: PlacementElectrics;
  private readonly nearest: NearestPlacement;
  private readonly branches: Branch[] = [];
  private ceilingBy = 'the lowest power found';

  constructor(
    study: Study, private readonly ranges: ToleranceRanges, private readonly below: number,
  ) {
    const { rack } = study;
    const { limits } = rack;
    if (rack.frame !== undefined) {
      throw new InputError([{
        file: 'rack', path: 'frame', found: 'a frame that carries return current',
        allowed: 'leave it out where a floor is asked for: the bound on all placements knows the two poles alone',
      }]);
    }
    if (!Number.isFinite(limits.barRise) && !Number.isFinite(limits.barTemperature)) {
      throw new RangeError('no floor can be proven: found no limit on bar rise or bar temperature; give one of them');
    }
    this.rack = rack;
    this.book = ruleBook(study);
    const alike = JSON.stringify(rack.supply) === JSON.stringify(rack.return);
    this.poles = alike ? [rack.supply] : [rack.supply, rack.return];
    this.electrics = new PlacementElectrics(study, ranges, this.poles.map((pole) => compileSegments(rack, pole)));
    this.nearest = new NearestPlacement(rack, ranges);
    this.ceiling = below;
    const families = loadFamilies(study, this.book);
    const n = rack.slotCount;
    const programs = new Map<OperatingStateRule, PlacementProgram>();
    for (const rule of rack.operatingStates) {
      for (const family of families) {
        const heights = families.flatMap(({ options }) => options.map(({ heightSlots }) => heightSlots));
        const program = programs.get(rule) ?? new PlacementProgram(study, this.book, rule, heights);
        programs.set(rule, program);
        const cap = this.warmestOf(family.total, family);
        const near = new Float64Array(n).fill(0.8 * this.highestRise(0));
        const branch: Branch = {
          rule, program, family, total: family.total, lowestSource: { min: 1, max: n }, highestSource: { min: 1, max: n },
          areaFactor: ranges.areaFactor,
          carried: new Float64Array(2 * n), warmest: [cap, cap], near: [near, near], bins: COARSE_BINS, power: 0,
          limitedBy: '', byContact: false,
        };
        const feeds = this.electrics.feedCeiling(branch, below);
        if (feeds.power < this.ceiling) {
          this.ceiling = feeds.power;
          this.ceilingBy = feeds.by;
        }
        this.add(branch, true);
      }
    }
  }

  get openBranches(): number {
    return this.branches.length;
  }

  lowest(): Branch | null {
    let lowest: Branch | null = null;
    for (const branch of this.branches) if (lowest === null || branch.power < lowest.power) lowest = branch;
    return lowest;
  }

  power(): number {
    return Math.min(this.ceiling, this.lowest()?.power ?? this.ceiling);
  }

  limitedBy(): string {
    const lowest = this.lowest();
    return lowest === null || lowest.power >= this.ceiling ? this.ceilingBy : lowest.limitedBy;
  }

  /** Splits a branch, or bounds it more finely. @returns false where nothing finer is left */
  refine(branch: Branch): boolean {
    this.branches.splice(this.branches.indexOf(branch), 1);
    const parts = splitBranch(branch, this.rack.sharing.model === 'droop');
    if (parts.length === 0) {
      this.branches.push(branch);
      return false;
    }
    for (const part of parts) this.add(part, false);
    return true;
  }

  /** Bounds a branch and keeps it where it is not known to carry `below`. */
  private add(branch: Branch, all: boolean): void {
    this.classes++;
    const bounded = this.bound(branch, all);
    if (bounded.power < this.below) this.branches.push(bounded);
  }

  private bound(branch: Branch, all: boolean): Branch {
    const { program } = branch;
    let power = this.below;
    let limitedBy = '';
    const warmest: [Float64Array, Float64Array] = [branch.warmest[0].slice(), branch.warmest[1].slice()];
    const near: [Float64Array, Float64Array] = [branch.near[0], branch.near[1]];
    const atBelow = this.electrics.at(branch, this.below);
    const contactLimit = this.electrics.loadContactCeiling(branch, atBelow.voltage.min);
    if (contactLimit < power) {
      power = contactLimit;
      limitedBy = 'load-contact current';
    }
    let worst = -1;
    let worstBy: TargetCase['kind'] = 'rise';
    const bounds = this.poles.map((pole, p) => new PoleBound(this.poleCase(branch, pole), near[p]));
    const carried = branch.carried.slice();
    const fresh = new Uint8Array(carried.length);
    // From the entry that carries least as far as is known: what the whole carried, every part of it carries too.
    for (;;) {
      let entry = -1;
      for (let e = 0; e < carried.length; e++) {
        if ((e & 1) < this.poles.length && (entry < 0 || carried[e] < carried[entry])) entry = e;
      }
      if (all) entry = fresh.findIndex((done, e) => done === 0 && (e & 1) < this.poles.length);
      if (entry < 0 || fresh[entry] === 2) break;
      // First roughly, and closely where it carries least all the same.
      const found = this.carriedAt(branch, bounds[entry & 1], entry, atBelow.currents, fresh[entry] === 1);
      fresh[entry]++;
      const air = this.airAt(entry >> 1, branch);
      warmest[entry & 1][entry >> 1] = Math.min(warmest[entry & 1][entry >> 1], air + found.rise);
      if (found.carried > carried[entry]) carried[entry] = found.carried;
      if (worst < 0 || carried[entry] < carried[worst]) {
        worst = entry;
        worstBy = found.by;
      }
    }
    for (let e = 0; e < carried.length; e++) {
      if ((e & 1) >= this.poles.length || carried[e] >= power) continue;
      power = carried[e];
      limitedBy = `${LIMIT_OF[worstBy]} at slot ${(e >> 1) + 1}`;
    }
    if (this.poles.length === 1) warmest[1] = warmest[0];
    // The placement that came nearest to the limit says where the lines under the loss should touch.
    if (worst >= 0 && power < this.below) {
      const target = this.target(branch, bounds[worst & 1], worst, atBelow.currents, worstBy);
      if (program.most(target.terms, branch, branch.bins, true) > Number.NEGATIVE_INFINITY) {
        const rises = this.nearest.rises(branch, program.tracedPlacement(), Math.max(power, 0.5 * this.below));
        if (rises !== null) [near[0], near[1]] = rises;
      }
    }
    return { ...branch, power, limitedBy, byContact: worstBy === 'contact', carried, warmest, near };
  }

  /** W up to which no placement of the branch takes this entry to a limit, at most `below`; and its rise there, K. */
  private carriedAt(branch: Branch, bound: PoleBound, entry: number, currents: Currents, closely: boolean): Carried {
    const { program, bins } = branch;
    const { limits } = this.rack;
    const i = entry >> 1;
    const room: [number, TargetCase['kind']][] = [];
    if (Number.isFinite(limits.barRise)) room.push([limits.barRise, 'rise']);
    const base = this.ranges.inlet.max + this.rack.air.profile[i];
    // Where the limit on the rise is met these mostly are too.
    const warmest = base + limits.barRise + this.mostExhaust(branch);
    if (warmest > limits.barTemperature) room.push([limits.barTemperature - base, 'bar']);
    if (warmest + this.electrics.contactStep(branch, currents) > limits.contactTemperature) {
      room.push([limits.contactTemperature - base, 'contact']);
    }
    let carried = this.below;
    let rise = 0;
    let by: TargetCase['kind'] = 'rise';
    for (const [limit, kind] of room) {
      const first = this.target(branch, bound, entry, currents, kind);
      const sum = (1 + ROUNDING) * program.most(first.terms, branch, bins);
      if (sum === Number.NEGATIVE_INFINITY) continue;
      if (kind !== 'contact') rise = Math.max(rise, first.constant + sum);
      if (first.constant + sum <= limit) continue;
      if (first.constant >= limit) return { carried: 0, rise, by: kind };
      // What loads add falls at least as the power does; about as its square.
      const part = (limit - first.constant) / sum;
      let power = this.below * (closely ? 0.9995 * Math.sqrt(part) : part);
      if (!closely) {
        if (power < carried) by = kind;
        carried = Math.min(carried, power);
        continue;
      }
      const lower = this.electrics.at(branch, power);
      const second = this.target(branch, bound, entry, lower.currents, kind);
      const again = (1 + ROUNDING) * program.most(second.terms, branch, bins);
      if (again > 0) power *= Math.min(1, Math.max(0, (limit - second.constant) / again));
      if (power < carried) by = kind;
      carried = Math.min(carried, power);
    }
    return { carried, rise, by };
  }

  private target(branch: Branch, bound: PoleBound, entry: number, currents: Currents, kind: TargetCase['kind']) {
    const { family, total, program } = branch;
    const p = entry & 1;
    return targetTerms({
      bound, slot: entry >> 1, kind, warmest: branch.warmest[p], pieces: program.pieces, options: family.options,
      sourceContact: program.pieces.map((piece) => worstContact(piece.unitType, this.ranges)),
      loadContact: family.options.map(({ type }) => worstContact(type, this.ranges)),
      largestShare: family.options.map((_, o) => largestShare(family, total, o)),
      smallestShare: family.options.map(({ power }) => Math.min(1, power.min / total.max)),
      currents, limit: Number.isFinite(this.rack.limits.barRise) ? this.rack.limits.barRise : this.highestRise(entry >> 1),
      exhaustRise: this.rack.air.exhaustRise, bins: branch.bins,
      sourcePath: program.pieces.map(({ unitType }) => unitType.heatPath),
      loadPath: family.options.map(({ type }) => type.heatPath),
    });
  }

  /** Heat paths of every unit that may stand in the rack. */
  private paths() {
    return this.book.types.all.map(({ heatPath }) => heatPath).filter(({ conductance }) => conductance > 0);
  }

  private poleCase(branch: Branch, pole: Pole): PoleCase {
    const n = this.rack.slotCount;
    return {
      rack: this.rack, pole, ranges: this.ranges, areaFactor: branch.areaFactor,
      highestRise: Float64Array.from({ length: n }, (_, i) => this.highestRise(i)),
      mostExhaust: this.mostExhaust(branch), coldestPath: Math.min(0, ...this.paths().map(({ rise }) => rise)),
    };
  }

  /** K above the local air that no slot exceeds before a limit is broken. */
  private highestRise(i: number): number {
    const { limits, air } = this.rack;
    return Math.min(limits.barRise, limits.barTemperature - this.ranges.inlet.min - air.profile[i]);
  }

  /** K by which loads may warm the air beside a slot. */
  private mostExhaust({ family, total }: Pick<Branch, 'family' | 'total'>): number {
    const densest = Math.max(...family.options.map(({ heightSlots }, o) => largestShare(family, total, o) / heightSlots));
    return this.rack.air.exhaustRise * this.below * densest;
  }

  private airAt(i: number, part: Pick<Branch, 'family' | 'total'>): number {
    return this.ranges.inlet.max + this.rack.air.profile[i] + this.mostExhaust(part);
  }

  private warmestOf(total: Range, family: LoadFamily): Float64Array {
    const { limits, slotCount } = this.rack;
    return Float64Array.from({ length: slotCount }, (_, i) => (
      Math.min(limits.barTemperature, this.airAt(i, { family, total }) + limits.barRise)));
  }
}
