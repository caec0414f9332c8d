import { InputError } from '../rack/errors.js';
import type { Catalogue, Contact, GroundContact, LoadType, SourceType, UnitHeatPath } from '../rack/model.js';
import type { UnitSelector } from '../rack/studyModel.js';
import type { UnitKind } from './scenario.js';

/** One catalogue entry, source or load, under one number. */
export interface UnitType {
  /** Position in `UnitTypes.all`. */
  readonly index: number;
  readonly id: string;
  readonly kind: UnitKind;
  readonly heightSlots: number;
  readonly contactSlot: number;
  readonly contact: Contact;
  readonly heatPath: UnitHeatPath;
  readonly groundContact: GroundContact | null;
  readonly source: SourceType | null;
  readonly load: LoadType | null;
}

/** The catalogue as one list: sources first, then loads. */
export interface UnitTypes {
  readonly all: readonly UnitType[];
  /** @throws InputError when the catalogue has no such source */
  source(id: string, path: string): UnitType;
  /** @throws InputError when the catalogue has no such load */
  load(id: string, path: string): UnitType;
}

export function unitTypes(catalogue: Catalogue): UnitTypes {
  const all: UnitType[] = [];
  for (const source of catalogue.sources) all.push(entry(all.length, source.kind, source, source, null));
  for (const load of catalogue.loads) all.push(entry(all.length, 'load', load, null, load));
  const find = (id: string, path: string, word: string, known: readonly UnitType[]): UnitType => {
    const type = known.find((one) => one.id === id);
    if (type) return type;
    const ids = known.map((one) => one.id).join(', ') || 'none';
    const allowed = `a ${word} of the equipment catalogue is allowed: ${ids}`;
    throw new InputError([{ file: 'study', path, found: `"${id}"`, allowed }]);
  };
  const sources = all.filter((type) => type.source !== null);
  const loads = all.filter((type) => type.load !== null);
  return {
    all,
    source: (id, path) => find(id, path, 'source', sources),
    load: (id, path) => find(id, path, 'load', loads),
  };
}

/** Whether a rule's selector speaks of units of this type. */
export function covers(selector: UnitSelector, kind: UnitKind, id: string): boolean {
  if (typeof selector === 'object') return selector.id === id;
  if (selector === 'loads') return kind === 'load';
  if (selector === 'sources') return kind !== 'load';
  return selector === 'power-shelves' ? kind === 'power-shelf' : kind === 'battery-shelf';
}

function entry(
  index: number,
  kind: UnitKind,
  common: SourceType | LoadType,
  source: SourceType | null,
  load: LoadType | null,
): UnitType {
  const { id, heightSlots, contactSlot, contact, heatPath, groundContact = null } = common;
  return { index, id, kind, heightSlots, contactSlot, contact, heatPath, groundContact, source, load };
}
