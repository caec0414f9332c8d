/** Files of a rack, its catalogue and a study with what a heat run taught of them. Parsed JSON in, JSON out. */
import type { OperatingPoint } from '../rack/heatRunModel.js';
import type { HeatRunFit } from './fitModel.js';
import { calibratedUncertain } from './calibratedUncertain.js';

export type JsonObject = { readonly [key: string]: unknown };

export interface FilesBefore {
  readonly rack: JsonObject;
  readonly catalogue: JsonObject;
  /** Null: a study of the first operating point, as it stood, is written. */
  readonly study: JsonObject | null;
  /** Path of the catalogue as seen from the folder of the new files. */
  readonly cataloguePath: string;
  /** A path that a file gives relative to itself, as seen from the folder of the new files. */
  rebase(path: string, of: 'rack' | 'catalogue' | 'study'): string;
  /** Name of the heat run, for the remarks in the files. */
  readonly heatRun: string;
  readonly firstPoint: OperatingPoint;
  /** V, for loads that were given by their current. */
  readonly setVoltage: number;
}

export interface CalibratedFiles {
  readonly rack: JsonObject;
  /** Null where the fit leaves the catalogue as it is. */
  readonly catalogue: JsonObject | null;
  readonly study: JsonObject;
  /** What the new files do not carry, or carry instead of what the study said. */
  readonly notes: readonly string[];
}

export const CALIBRATED_NAMES = { rack: 'rack.json', catalogue: 'catalogue.json', study: 'study.json' } as const;

/** The files with the fitted values, and a study in which the fitted quantities are uncertain. */
export function calibratedFiles(fit: HeatRunFit, before: FilesBefore): CalibratedFiles {
  const { sourceContact, loadContact } = fit.values;
  const changesCatalogue = sourceContact !== undefined || loadContact !== undefined;
  const { study, notes } = studyFile(fit, before, changesCatalogue ? CALIBRATED_NAMES.catalogue : before.cataloguePath);
  return {
    rack: rackFile(fit, before),
    catalogue: changesCatalogue
      ? {
          ...remarked(before.catalogue, before, 'catalogue'),
          sources: scaledContacts(before.catalogue.sources, sourceContact),
          loads: scaledContacts(before.catalogue.loads, loadContact),
        }
      : null,
    study,
    notes,
  };
}

/** Numbers in files: more digits than anything measured, fewer than binary noise. */
export const rounded = (value: number): number => Number(value.toPrecision(10));

function rackFile({ values }: HeatRunFit, before: FilesBefore): JsonObject {
  const { rack } = before;
  const { filmFactor, emissivity, exhaustRise } = values;
  const poles = Object.fromEntries(
    Object.entries(rack.poles as Record<string, JsonObject>).map(([name, pole]) => [
      name,
      {
        ...pole,
        sections: (pole.sections as JsonObject[]).map((section) =>
          emissivity === undefined ? section : { ...section, emissivity: rounded(emissivity) },
        ),
      },
    ]),
  );
  return {
    ...remarked(rack, before, 'rack'),
    poles,
    ...(filmFactor === undefined ? {} : { film: { ...(rack.film as JsonObject), factor: rounded(filmFactor) } }),
    ...(exhaustRise === undefined
      ? {}
      : { air: { ...(rack.air as JsonObject), exhaustRiseKPerKw: rounded(exhaustRise) } }),
  };
}

function scaledContacts(units: unknown, factor: number | undefined): unknown {
  if (factor === undefined) return units;
  return (units as (JsonObject & { contact: { microOhm: number } })[]).map((unit) => ({
    ...unit,
    contact: { ...unit.contact, microOhm: rounded(unit.contact.microOhm * factor) },
  }));
}

function studyFile(
  fit: HeatRunFit,
  before: FilesBefore,
  catalogue: string,
): { readonly study: JsonObject; readonly notes: readonly string[] } {
  const own = before.study ?? pointAsStudy(before);
  const { uncertain, correlations, replaced, notes } = calibratedUncertain(fit, own);
  const meant = ((own.meant ?? []) as string[]).filter(
    (path) => !path.startsWith('correlations') && !replaced.some((key) => path.startsWith(`uncertain.${key}`)),
  );
  const { correlations: _, meant: __, ...rest } = own;
  const study = {
    ...(before.study === null ? rest : remarked(rest, before, 'study')),
    rack: CALIBRATED_NAMES.rack,
    catalogue,
    uncertain: rebasedFiles(uncertain, before),
    ...(correlations.length === 0 ? {} : { correlations }),
    ...(meant.length === 0 ? {} : { meant }),
  };
  const loads = own.loads as JsonObject;
  return {
    study:
      loads.draw === 'inventory'
        ? { ...study, loads: { ...loads, file: before.rebase(String(loads.file), 'study') } }
        : study,
    notes,
  };
}

/** CSV files that distributions name. */
function rebasedFiles(uncertain: Record<string, JsonObject>, before: FilesBefore): Record<string, JsonObject> {
  return Object.fromEntries(
    Object.entries(uncertain).map(([key, distribution]) => [
      key,
      distribution.distribution === 'measured'
        ? { ...distribution, file: before.rebase(String(distribution.file), 'study') }
        : distribution,
    ]),
  );
}

function remarked(file: JsonObject, { heatRun, rebase }: FilesBefore, of: 'rack' | 'catalogue' | 'study'): JsonObject {
  const { $schema, note } = file;
  const isPath = typeof $schema === 'string' && !/^[a-z]+:/i.test($schema);
  const remark = `Calibrated to the heat run ${heatRun}; see fit.json beside this file.`;
  return {
    ...file,
    ...(isPath ? { $schema: rebase($schema, of) } : {}),
    // A remark that has no room is left out rather than cut.
    note: typeof note === 'string' && note.length < 4000 ? `${note} ${remark}`.slice(0, 5000) : (note ?? remark),
  };
}

/** The first operating point as it stood, where there is no study to change. */
function pointAsStudy({ firstPoint, setVoltage, heatRun }: FilesBefore): JsonObject {
  const units = (kind: string) => firstPoint.units.filter((unit) => unit.kind === kind);
  return {
    format: 'slotcast-study/1',
    name: 'Operating point of the heat run',
    note: `The first operating point of the heat run ${heatRun} as it stood. Change sources and loads to what you want to know.`,
    seed: 'heat run',
    scenarios: 1000,
    sources: {
      positions: {
        draw: 'fixed',
        units: units('source').map(({ equipment, bottomSlot }) => ({ id: equipment, bottomSlot })),
      },
    },
    loads: {
      draw: 'fixed',
      units: units('load').map(({ equipment, bottomSlot, power, current }) => ({
        id: equipment,
        bottomSlot,
        powerKw: rounded((power ?? (current ?? 0) * setVoltage) / 1e3),
      })),
    },
    percentilesPercent: [1, 5, 50],
  };
}
