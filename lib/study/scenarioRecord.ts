/** A placement with its draw as plain data, to be kept in a file and read again with the study it belongs to. */
import { placedUnit } from '../draw/placedUnit.js';
import type { Build, PlacedUnit, Scenario } from '../draw/index.js';
import { unitTypes } from '../draw/unitTypes.js';
import type { Study } from '../rack/studyModel.js';

/** One unit: what the catalogue does not say of it. */
export interface UnitRecord {
  readonly kind: PlacedUnit['kind'];
  /** Catalogue id. */
  readonly equipment: string;
  readonly bottomSlot: number;
  readonly heightSlots: number;
  /** A load's weight in the placement's proportions, 0 for a source. */
  readonly powerKw: number;
  /** Supply and return pole. */
  readonly contactMicroOhm: readonly [number, number];
  readonly sharingWeight: number;
}

/** A scenario; `build` as {@link Build}, its inlet in K as `inletK`. */
export interface ScenarioRecord {
  /** Of the study; −1 for a placement that was not drawn. */
  readonly index: number;
  readonly build: Omit<Build, 'inlet'> & { readonly inletK: number | null };
  readonly units: readonly UnitRecord[];
}

/** What {@link scenarioOfRecord} reads again, to the last bit but for the rounding of units. */
export function scenarioRecord({ index, build, units }: Scenario): ScenarioRecord {
  const { inlet, ...factors } = build;
  return {
    index,
    build: { ...factors, inletK: inlet },
    units: units.map(({ kind, equipment, bottomSlot, heightSlots, power, contactResistance, sharingWeight }) => ({
      kind, equipment, bottomSlot, heightSlots, powerKw: power / 1e3,
      contactMicroOhm: [contactResistance[0] * 1e6, contactResistance[1] * 1e6], sharingWeight,
    })),
  };
}

/**
 * The scenario of a record, with all that the study's catalogue says of its units.
 * @throws InputError where the catalogue lacks one of them
 */
export function scenarioOfRecord({ index, build, units }: ScenarioRecord, study: Study): Scenario {
  const types = unitTypes(study.catalogue);
  const { inletK, ...factors } = build;
  return {
    index,
    build: { ...factors, inlet: inletK },
    units: units.map(({ kind, equipment, bottomSlot, heightSlots, powerKw, contactMicroOhm, sharingWeight }) => {
      const type = kind === 'load' ? types.load(equipment, 'units') : types.source(equipment, 'units');
      const contact = [contactMicroOhm[0] / 1e6, contactMicroOhm[1] / 1e6] as const;
      return placedUnit(type, bottomSlot, heightSlots, 1e3 * powerKw, contact, sharingWeight);
    }),
  };
}
