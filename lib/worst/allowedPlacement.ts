/** What a study's draw can produce, as a question about one finished placement. */
import { brokenRules, positionsKept, ruleInWords, unitsCollide, type RuledUnit } from '../draw/index.js';
import { ruleBook } from '../draw/ruleBook.js';
import type { Study } from '../rack/index.js';
import { loadsObjection } from './allowedPlacementLoads.js';

/** Says whether placements belong to a study. */
export interface AllowedPlacement {
  /** Whether the study's draw can produce these units (any order), powers included. */
  allows(units: readonly RuledUnit[]): boolean;
  /** Why it cannot, in words; null where it can. */
  objection(units: readonly RuledUnit[]): string | null;
  /** The same but for the loads draw: sources, places and rules alone. For loads known to be what the draw gives. */
  keepsRules(units: readonly RuledUnit[]): boolean;
}

/**
 * The support of a study's draw: exactly its sources, standing as its positions ask, with loads that its draw can put
 * beside them, every rule kept.
 *
 * Powers (W) at the very ends of what is drawn count as allowed (a draw comes as near to them as one likes), those
 * that the draw cannot come near to do not; both to a relative 1e-9.
 * @throws InputError when the catalogue lacks a unit the study names
 * @example
 * allowedPlacement(study).allows(scenarioSource(study).draw(0).scenario.units); // true
 */
export function allowedPlacement(study: Study): AllowedPlacement {
  const { rules, sources, rack } = study;
  const { positions } = sources;
  const { slotCount } = rack;
  const book = ruleBook(study);
  const wanted = new Map<string, number>();
  const counted = positions.draw === 'fixed' ? positions.units.map(({ id }) => ({ id, count: 1 })) : sources.units;
  for (const { id, count } of counted) if (count > 0) wanted.set(id, (wanted.get(id) ?? 0) + count);
  const sourceTypes = new Map(book.types.all.filter((type) => type.source !== null).map((type) => [type.id, type]));
  const objectionToLoads = loadsObjection(study, book);

  function objectionToSources(standing: readonly RuledUnit[]): string | null {
    const left = new Map(wanted);
    for (const unit of standing) {
      const type = sourceTypes.get(unit.equipment);
      const count = left.get(unit.equipment) ?? 0;
      if (!type || count === 0) return `a source "${unit.equipment}" more than the study has`;
      if (type.kind !== unit.kind || type.heightSlots !== unit.heightSlots) {
        return `"${unit.equipment}" is not what the catalogue says`;
      }
      left.set(unit.equipment, count - 1);
    }
    for (const [id, count] of left) if (count > 0) return `a source "${id}" is missing`;
    return positionsKept(positions, standing) ? null : `the sources do not stand as "${positions.draw}" asks`;
  }

  function objectionToPlaces(standing: readonly RuledUnit[], units: readonly RuledUnit[]): string | null {
    const whySources = objectionToSources(standing);
    if (whySources !== null) return whySources;
    if (unitsCollide(slotCount, units)) return 'two units take one slot, or one stands outside the rack';
    const [broken] = rules.length > 0 ? brokenRules(rules, slotCount, units) : [];
    return broken === undefined ? null : `broken: ${ruleInWords(rules[broken])}`;
  }

  function objection(units: readonly RuledUnit[]): string | null {
    const standing: RuledUnit[] = [];
    const loads: RuledUnit[] = [];
    for (const unit of units) (unit.kind === 'load' ? loads : standing).push(unit);
    return objectionToPlaces(standing, units) ?? objectionToLoads(standing, loads);
  }

  return {
    allows: (units) => objection(units) === null,
    objection,
    keepsRules: (units) => objectionToPlaces(units.filter(({ kind }) => kind !== 'load'), units) === null,
  };
}
