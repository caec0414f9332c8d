/**
 * Bounds on voltages and currents of whole classes of placements, and the powers at which sources, load contacts and
 * voltages reach limits of their own. See PROOF.md, section 4.
 */
import { ruleBook, type RuleBook } from '../draw/ruleBook.js';
import { ContactSpreading, patchMean } from '../ladder/contactSpreading.js';
import type { PoleSegments } from '../ladder/segments.js';
import { type Rack, type Study, ZERO_CELSIUS } from '../rack/index.js';
import type { Branch } from './branch.js';
import { Currents, fedBelow } from './currents.js';
import { largestShare } from './loadFamilies.js';
import type { WorstContact } from './targetTerms.js';
import type { Range, ToleranceRanges } from './toleranceRanges.js';
import { worstContact } from './worstContact.js';

export class PlacementElectrics {
  private readonly rack: Rack;
  private readonly book: RuleBook;
  /** Σ_k F_jk of each pole, `[pole][slot]`. */
  private readonly feltByAll: readonly Float64Array[];

  /** @param segments of the poles that differ: one where both are built alike */
  constructor(
    private readonly study: Study, private readonly ranges: ToleranceRanges, private readonly segments: readonly PoleSegments[],
  ) {
    const { rack } = study;
    this.rack = rack;
    this.book = ruleBook(study);
    this.feltByAll = segments.map((pole) => {
      const { mutual } = new ContactSpreading(pole, rack.pitch);
      return Float64Array.from({ length: rack.slotCount }, (_, j) => (
        mutual.subarray(j * rack.slotCount, (j + 1) * rack.slotCount).reduce((sum, felt) => sum + felt, 0)));
    });
  }

  /** Voltages and currents of all placements of a branch at a load power. */
  at(branch: Branch, power: number): { voltage: Range; currents: Currents } {
    const { rack } = this;
    const { program, family, total } = branch;
    const bounds = this.resistances(branch);
    const loop = bounds.loop;
    const feeding = program.pieces.filter((piece) => program.feeds(piece));
    const contact = Math.max(...feeding.map((piece) => 2 * worstContact(piece.unitType, this.ranges).resistance));
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
      largestShare(family, total, o) * 2 * worstContact(type, this.ranges).resistance)));
    // Volts lost per ampere of the total current on the way from the set voltage to any load.
    const lost = (rack.sharing.model === 'droop' ? loop : loop + bounds.between) + largest * series + loadContact
      + 3 * bounds.patch * Math.max(largest, share);
    const set = rack.setVoltage;
    const discriminant = set * set - 4 * power * lost;
    const lowest = discriminant > 0 ? (set + Math.sqrt(discriminant)) / 2 : 0;
    const voltage = { min: Math.max(lowest, set * 1e-3), max: set };
    // Above the set voltage: with equal sharing the sources' mean holds it, and spreading may lift a load beside a source.
    const lift = 2 * bounds.patch + (rack.sharing.model === 'droop' ? 0 : bounds.between + largest * contact);
    voltage.max += (lift * power) / voltage.min;
    return { voltage, currents: new Currents(power, voltage, sharing) };
  }

  /** Ω, both poles: the whole bar, the bar between the outermost sources, and what a patch sees of the current of one contact. */
  private resistances(branch: Branch): { loop: number; between: number; patch: number } {
    const { program, warmest, areaFactor } = branch;
    const n = this.rack.slotCount;
    const both = this.segments.length === 1 ? 2 : 1;
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
  feedCeiling(branch: Branch, below: number): { power: number; by: string } {
    const { program } = branch;
    const { voltage, currents } = this.at(branch, below);
    const share = currents.largestSource / currents.perShare;
    let power = below;
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
      let [low, high] = [0, below];
      for (let k = 0; k < 60; k++) {
        const middle = 0.5 * (low + high);
        if (this.at(branch, middle).voltage.min < lowestLoadVoltage) high = middle;
        else low = middle;
      }
      if (low < power) {
        power = low;
        by = 'lowest load voltage';
      }
    }
    return { power, by };
  }

  loadContactCeiling({ family, total }: Branch, voltage: number): number {
    const largest = Math.max(...family.options.map((_, o) => largestShare(family, total, o)));
    return (this.rack.limits.loadContactCurrent * voltage) / largest;
  }

  /** K that a contact may be above the bar at its own place. */
  contactStep({ family, total, program }: Branch, currents: Currents): number {
    const step = ({ resistance, thermalResistance }: WorstContact, amperes: number) => amperes ** 2 * resistance * thermalResistance;
    return Math.max(
      ...family.options.map(({ type }, o) => (
        step(worstContact(type, this.ranges), largestShare(family, total, o) * currents.perShare))),
      ...program.pieces.map(({ unitType }) => step(worstContact(unitType, this.ranges), currents.largestSource)),
    );
  }
}
