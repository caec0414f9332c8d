/**
 * A proven floor: a power that every allowed placement and every load split carries, in every operating state and over
 * the given ranges. Branching over classes of placements; see PROOF.md for what is proven and where it could fail.
 */
import { ruleBook, type RuleBook } from '../draw/ruleBook.js';
import { placedUnit } from '../draw/placedUnit.js';
import { NOMINAL_BUILD, type PlacedUnit, type Scenario } from '../draw/scenario.js';
import type { UnitType } from '../draw/unitTypes.js';
import { ContactSpreading, patchMean } from '../ladder/contactSpreading.js';
import { operatingStates, RackModel } from '../ladder/index.js';
import { compileSegments, type PoleSegments } from '../ladder/segments.js';
import { type OperatingStateRule, type Pole, type Rack, type Study, ZERO_CELSIUS } from '../rack/index.js';
import type { Floor } from './answers.js';
import { Currents, fedBelow } from './currents.js';
import { loadFamilies, type LoadFamily, powerWithin } from './loadFamilies.js';
import { PlacementProgram, type PlacementClass, type ProgramUnit } from './placementProgram.js';
import { PoleBound, type PoleCase } from './poleBound.js';
import { type TargetCase, targetTerms, type WorstContact } from './targetTerms.js';
import type { Range, ToleranceRanges } from './toleranceRanges.js';

export interface FloorOptions {
  /** W: a power that some placement is known not to exceed; the floor is sought below it. */
  readonly below: number;
  /** Stop when the floor is within this part of `below`; 0: go on until nothing can be refined. */
  readonly gap?: number;
  /** Classes of placements to bound at most; without it, until finished. The answer then does not depend on the machine. */
  readonly mostClasses?: number;
  /** s; without it, until finished. Asked of `now`. */
  readonly seconds?: number;
  /** W: a floor already proven for a set of placements that holds this study's, e.g. for the same study with fewer rules. */
  readonly atLeast?: number;
  /** Called now and then with the floor so far, W. */
  readonly onProgress?: (floor: number, open: number) => void;
}

/** A part of all placements in one kind of operating state, with what is known of it. */
interface Branch extends PlacementClass {
  readonly rule: OperatingStateRule;
  readonly program: PlacementProgram;
  readonly areaFactor: Range;
  /** W that every placement of it carries without a limit broken at entry 2·slot + pole. */
  readonly carried: Float64Array;
  /** K, temperature that no slot exceeds, `[pole][slot]`. */
  readonly warmest: readonly [Float64Array, Float64Array];
  /** K, rises near which the lines under the loss are laid, `[pole][slot]`. */
  readonly near: readonly [Float64Array, Float64Array];
  readonly bins: number;
  /** W, what every placement of it carries. */
  power: number;
  limitedBy: string;
  /** A contact's own heat decides, wherever the sources are. */
  byContact: boolean;
}

const COARSE_BINS = 100;
const MANY_BINS = 300;
const FINEST_BINS = 1600;
/** Relative slack for rounding in sums. */
const ROUNDING = 1e-9;

/**
 * Proves a floor for a study.
 *
 * @throws RangeError where the rack limits neither the rise nor the temperature of the bar, or the rules on sources
 *   remember too much
 */
export function proveFloor(study: Study, ranges: ToleranceRanges, options: FloorOptions, now: () => number): Floor {
  const started = now();
  const search = new FloorSearch(study, ranges, options.below);
  const aim = options.below * (1 - (options.gap ?? 0));
  let finished = false;
  let told = started;
  for (;;) {
    const lowest = search.lowest();
    if (lowest === null || search.power() >= aim || lowest.power >= search.ceiling) break;
    if (options.mostClasses !== undefined && search.classes >= options.mostClasses) break;
    if (options.seconds !== undefined && now() - started >= 1000 * options.seconds) break;
    if (!search.refine(lowest)) {
      finished = true;
      break;
    }
    if (options.onProgress && now() - told > 500) {
      told = now();
      options.onProgress(search.power(), search.openBranches);
    }
  }
  return {
    kind: 'bounded', power: Math.max(search.power(), options.atLeast ?? 0), ranges, limitedBy: search.limitedBy(),
    classes: search.classes,
    seconds: (now() - started) / 1000, finished: finished || search.power() >= options.below,
  };
}

interface Carried {
  readonly carried: number;
  readonly rise: number;
  readonly by: TargetCase['kind'];
}

const LIMIT_OF = { rise: 'bar rise', bar: 'bar temperature', contact: 'contact temperature' } as const;

/** Largest share of the load that a unit of an option may have. */
function largestShare(family: LoadFamily, total: Range, option: number): number {
  return Math.min(1, powerWithin(family, total, option).max / total.min);
}

export class FloorSearch {
  classes = 0;
  /** W: no branch needs to be better than this: what the sources and contacts themselves allow, or `below`. */
  readonly ceiling: number;
  private readonly rack: Rack;
  private readonly book: RuleBook;
  private readonly model: RackModel;
  private readonly poles: readonly Pole[];
  private readonly segments: readonly PoleSegments[];
  /** Σ_k F_jk of each pole, `[pole][slot]`. */
  private readonly feltByAll: readonly Float64Array[];
  private readonly branches: Branch[] = [];
  private ceilingBy = 'the lowest power found';

  constructor(
    private readonly study: Study, private readonly ranges: ToleranceRanges, private readonly below: number,
  ) {
    const { rack } = study;
    const { limits } = rack;
    if (!Number.isFinite(limits.barRise) && !Number.isFinite(limits.barTemperature)) {
      throw new RangeError('no floor can be proven: found no limit on bar rise or bar temperature; give one of them');
    }
    this.rack = rack;
    this.book = ruleBook(study);
    this.model = new RackModel({ ...rack, operatingStates: ['all-in-service'] });
    const alike = JSON.stringify(rack.supply) === JSON.stringify(rack.return);
    this.poles = alike ? [rack.supply] : [rack.supply, rack.return];
    this.segments = this.poles.map((pole) => compileSegments(rack, pole));
    this.feltByAll = this.segments.map((segments) => {
      const { mutual } = new ContactSpreading(segments, rack.pitch);
      return Float64Array.from({ length: rack.slotCount }, (_, j) => (
        mutual.subarray(j * rack.slotCount, (j + 1) * rack.slotCount).reduce((sum, felt) => sum + felt, 0)));
    });
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
          rule, program, family, total: family.total, lowestSource: { min: 1, max: n }, highestSource: { min: 1, max: n }, areaFactor: ranges.areaFactor,
          carried: new Float64Array(2 * n), warmest: [cap, cap], near: [near, near], bins: COARSE_BINS, power: 0, limitedBy: '', byContact: false,
        };
        const feeds = this.feedCeiling(branch);
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
    const parts = this.parts(branch);
    if (parts.length === 0) {
      this.branches.push(branch);
      return false;
    }
    for (const part of parts) this.add(part, false);
    return true;
  }

  private parts(branch: Branch): Branch[] {
    const { lowestSource, highestSource, total, areaFactor, family } = branch;
    const width = lowestSource.max - lowestSource.min + 1;
    const widthAbove = this.rack.sharing.model === 'droop' ? highestSource.max - highestSource.min + 1 : 1;
    const ratio = total.max / total.min;
    const whole = family.counts ? total.max - total.min : Number.POSITIVE_INFINITY;
    // Rough steps first: a wide class needs no fine bins, and fine bins spare many narrow classes.
    const scores = [
      width > 1 ? (branch.byContact ? 0.4 : Math.max(0.7, Math.log2(width / 2))) : 0,
      widthAbove > 1 ? Math.max(0.75, Math.log2(widthAbove / 2)) : 0,
      ratio > 1.005 && whole >= 1 ? Math.max(0.8, Math.log(ratio / 1.03) / Math.log(1.05)) : 0,
      areaFactor.max / areaFactor.min > 1.005 ? Math.max(0.6, (areaFactor.max / areaFactor.min - 1) / 0.02) : 0,
      branch.bins < MANY_BINS ? 0.9 : branch.bins < FINEST_BINS ? 0.5 : 0,
    ];
    const best = scores.indexOf(Math.max(...scores));
    if (scores[best] === 0) return [];
    if (best === 4) return [{ ...branch, bins: branch.bins < MANY_BINS ? MANY_BINS : 2 * branch.bins }];
    {
      const halves = (range: Range, middle: number, gap = 0): [Range, Range] => (
        [{ min: range.min, max: middle }, { min: middle + gap, max: range.max }]);
      const middleOf = ({ min, max }: Range) => Math.floor((min + max) / 2);
      if (best === 0) {
        return halves(lowestSource, middleOf(lowestSource), 1).map((half) => ({ ...branch, lowestSource: half }));
      }
      if (best === 1) {
        return halves(highestSource, middleOf(highestSource), 1).map((half) => ({ ...branch, highestSource: half }));
      }
      if (best === 2) {
        const middle = family.counts ? Math.floor(Math.sqrt(total.min * total.max)) : Math.sqrt(total.min * total.max);
        return halves(total, Math.min(middle, family.counts ? total.max - 1 : middle), family.counts ? 1 : 0)
          .map((half) => ({ ...branch, total: half }));
      }
      return halves(areaFactor, Math.sqrt(areaFactor.min * areaFactor.max)).map((half) => ({ ...branch, areaFactor: half }));
    }
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
    const atBelow = this.electrics(branch, this.below);
    const contactLimit = this.loadContactCeiling(branch, atBelow.voltage.min);
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
        const rises = this.risesOf(branch, program.tracedPlacement(), Math.max(power, 0.5 * this.below));
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
    if (warmest + this.contactStep(branch, currents) > limits.contactTemperature) {
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
      const lower = this.electrics(branch, power);
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
      sourceContact: program.pieces.map((piece) => this.contact(piece.unitType, p, true)),
      loadContact: family.options.map(({ type }) => this.contact(type, p, false)),
      largestShare: family.options.map((_, o) => largestShare(family, total, o)),
      smallestShare: family.options.map(({ power }) => Math.min(1, power.min / total.max)),
      currents, limit: Number.isFinite(this.rack.limits.barRise) ? this.rack.limits.barRise : this.highestRise(entry >> 1),
      exhaustRise: this.rack.air.exhaustRise, bins: branch.bins,
      sourcePath: program.pieces.map(({ unitType }) => unitType.heatPath),
      loadPath: family.options.map(({ type }) => type.heatPath),
    });
  }

  private contact(type: UnitType, _pole: number, isSource: boolean): WorstContact {
    const { contactFactor, sourceContact, loadContact } = this.ranges;
    const range = isSource ? sourceContact : loadContact;
    const { resistance, heatShare, edgeHeight, thermalResistance } = type.contact;
    return { resistance: (range?.max ?? resistance) * contactFactor.max, heatShare, edgeHeight, thermalResistance };
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

  /** Voltages and currents of all placements of a branch at a load power. */
  private electrics(branch: Branch, power: number): { voltage: Range; currents: Currents } {
    const { rack } = this;
    const { program, family, total, warmest } = branch;
    const bounds = this.resistances(branch);
    const loop = bounds.loop;
    const feeding = program.pieces.filter((piece) => program.feeds(piece));
    const contact = Math.max(...feeding.map((piece) => 2 * this.contact(piece.unitType, 0, true).resistance));
    const leastContact = Math.min(...feeding.map(({ unitType }) => (
      2 * (this.ranges.sourceContact?.min ?? unitType.contact.resistance) * this.ranges.contactFactor.min)));
    const share = Math.max(...family.options.map((_, o) => largestShare(family, total, o)));
    const { inService } = program;
    let spread = this.ranges.sharingWeight.max / this.ranges.sharingWeight.min;
    let series = contact;
    if (rack.sharing.model === 'droop') {
      const droops = feeding.map(({ unitType }) => unitType.source?.droopResistance ?? 0);
      series = Math.max(...droops) + contact;
      const stiff = Math.min(...droops) + leastContact;
      spread = Number.MAX_SAFE_INTEGER;
      for (let pass = 0; pass < 4; pass++) {
        // Per ampere of the whole: the bar between the sources and the voltages of spreading at either end of it. What is
        // known of the sharing so far bounds the currents there, and they bound the sharing anew.
        const fed = fedBelow({ inService, spread }, 1);
        const along = inService > 1 ? Math.max(fed.max, 1 - fed.min) : 0;
        const apart = bounds.between * along + 2 * bounds.patch * Math.max(fed.max, share);
        const least = stiff / inService - apart;
        if (least > 0) spread = Math.min(spread, (series / stiff) * ((least + apart) / least));
      }
    }
    const sharing = { inService, spread };
    const largest = fedBelow(sharing, 1).max;
    const loadContact = Math.max(...family.options.map(({ type }, o) => (
      largestShare(family, total, o) * 2 * this.contact(type, 0, false).resistance)));
    // Volts lost per ampere of the total current on the way from the set voltage to any load.
    const lost = (rack.sharing.model === 'droop' ? loop : loop + bounds.between) + largest * series + loadContact
      + 3 * bounds.patch * Math.max(largest, share);
    const set = rack.setVoltage;
    const discriminant = set * set - 4 * power * lost;
    const lowest = discriminant > 0 ? (set + Math.sqrt(discriminant)) / 2 : 0;
    const above = rack.sharing.model === 'droop' ? 0 : (bounds.between + largest * contact + 2 * bounds.patch) * (power / Math.max(lowest, 1e-9));
    const voltage = { min: Math.max(lowest, set * 1e-3), max: set + above };
    void warmest;
    return { voltage, currents: new Currents(power, voltage, sharing) };
  }

  /** Ω, both poles: the whole bar, the bar between the outermost sources, and what a patch sees of the current of one contact. */
  private resistances(branch: Branch): { loop: number; between: number; patch: number } {
    const { program, warmest, areaFactor } = branch;
    const n = this.rack.slotCount;
    const both = this.poles.length === 1 ? 2 : 1;
    const each = Array.from({ length: Math.max(0, n - 1) }, (_, i) => this.segments.reduce((sum, segments, p) => {
      const t = warmest[p][i] + warmest[p][i + 1];
      return sum + both * ((segments.conductorOffset[i] + segments.conductorSlope[i] * t) / areaFactor.min + segments.jointResistance[i]);
    }, 0));
    const loop = each.reduce((sum, ohm) => sum + ohm, 0);
    let between = 0;
    for (let i = branch.lowestSource.min - 1; i < branch.highestSource.max - 1; i++) between += each[i];
    if (this.study.sources.positions.draw === 'contiguous') {
      const height = program.pieces.reduce((sum, piece) => sum + piece.count * piece.heightSlots, 0);
      let widest = 0;
      for (let from = 0; from + height - 1 <= each.length; from++) {
        let sum = 0;
        for (let i = from; i < from + height - 1; i++) sum += each[i];
        widest = Math.max(widest, sum);
      }
      between = Math.min(between, widest);
    }
    const heights = this.book.types.all.map(({ contact }) => contact.edgeHeight).filter((height) => height > 0);
    let patch = 0;
    if (heights.length > 0) {
      this.segments.forEach((segments, p) => {
        let worst = 0;
        for (let i = 0; i < n; i++) {
          const { material, plates } = segments.sectionAt[i];
          const rho = material.resistivity20
            * (1 + material.temperatureCoefficient * (warmest[p][i] - ZERO_CELSIUS - 20));
          let felt = Math.max(0, patchMean(Math.min(...heights), plates.depth));
          felt += this.feltByAll[p][i];
          worst = Math.max(worst, (felt * rho) / (plates.count * plates.thickness * areaFactor.min));
        }
        patch += both * worst;
      });
    }
    return { loop, between, patch };
  }

  /** W at which no source exceeds its own limits, whatever the placement, and which limit that is. */
  private feedCeiling(branch: Branch): { power: number; by: string } {
    const { program } = branch;
    const { voltage, currents } = this.electrics(branch, this.below);
    const share = currents.largestSource / currents.perShare;
    let power = this.below;
    let by = 'the lowest power found';
    for (const piece of program.pieces) {
      const { source } = piece.unitType;
      if (source === null || !program.feeds(piece)) continue;
      const terminal = voltage.max;
      const limits: [number, string][] = [
        [(source.maxCurrent * voltage.min) / share, 'source current'],
        [(source.maxPower * voltage.min) / (share * terminal), 'source power'],
      ];
      for (const [limit, words] of limits) {
        if (limit >= power) continue;
        power = limit;
        by = `${words} of ${piece.unitType.id}`;
      }
    }
    const { lowestLoadVoltage } = this.rack.limits;
    if (voltage.min < lowestLoadVoltage) {
      let [low, high] = [0, this.below];
      for (let k = 0; k < 60; k++) {
        const middle = 0.5 * (low + high);
        if (this.electrics(branch, middle).voltage.min < lowestLoadVoltage) high = middle;
        else low = middle;
      }
      if (low < power) {
        power = low;
        by = 'lowest load voltage';
      }
    }
    return { power, by };
  }

  private loadContactCeiling({ family, total }: Branch, voltage: number): number {
    const largest = Math.max(...family.options.map((_, o) => largestShare(family, total, o)));
    return (this.rack.limits.loadContactCurrent * voltage) / largest;
  }

  /** K that a contact may be above the bar at its own place. */
  private contactStep({ family, total, program }: Branch, currents: Currents): number {
    const step = ({ resistance, thermalResistance }: WorstContact, amperes: number) => amperes ** 2 * resistance * thermalResistance;
    return Math.max(
      ...family.options.map(({ type }, o) => (
        step(this.contact(type, 0, false), largestShare(family, total, o) * currents.perShare))),
      ...program.pieces.map(({ unitType }) => step(this.contact(unitType, 0, true), currents.largestSource)),
    );
  }

  /** K above the unloaded air that a placement takes both poles to at a power, `[pole][slot]`; null where it has no solution. */
  private risesOf(branch: Branch, units: readonly ProgramUnit[], power: number): [Float64Array, Float64Array] | null {
    const scenario = this.scenarioOf(branch, units);
    const sources = units.filter(({ piece }) => piece >= 0);
    const states = operatingStates({ ...this.rack, operatingStates: [branch.rule] }, scenario);
    const state = states.find(({ active }) => sources.every(({ inService }, k) => inService === (active[k] === 1)));
    if (state === undefined) return null;
    const solution = this.model.solutionAt(scenario, power, state);
    if (solution.status !== 'solved') return null;
    const base = Float64Array.from(this.rack.air.profile, (k) => this.ranges.inlet.max + k);
    const rises = (pole: Float64Array) => pole.map((t, i) => t - base[i]);
    return [rises(solution.supplyTemperature), rises(solution.returnTemperature)];
  }

  private scenarioOf({ program, family }: Branch, units: readonly ProgramUnit[]): Scenario {
    const { contactFactor, filmFactor, emissivity, areaFactor, inlet } = this.ranges;
    const placed = units.map(({ piece, option, bottomSlot, share }): PlacedUnit => {
      const type = piece >= 0 ? program.pieces[piece].unitType : family.options[option].type;
      const height = piece >= 0 ? type.heightSlots : family.options[option].heightSlots;
      const { resistance } = this.contact(type, 0, piece >= 0);
      const nominal = resistance / contactFactor.max;
      return placedUnit(type, bottomSlot, height, share, [nominal, nominal], 1);
    });
    const build = {
      ...NOMINAL_BUILD, contactFactor: contactFactor.max, filmFactor: filmFactor.min, emissivity: emissivity?.min ?? null,
      areaFactor: areaFactor.min, inlet: inlet.max,
    };
    return { index: 0, units: placed, build };
  }
}
