import type { Catalogue, LoadType, SourceType } from './model.js';
import { CATALOGUE_FORMAT, type CatalogueFile, catalogueSchema } from './schema/catalogueSchema.js';
import { logImplausible } from './plausible.js';
import { hasFormat, logPrototypeKeys, parseParts } from './schema/parsedParts.js';
import type { ProblemLog } from './text/problemLog.js';
import { fromKw, fromMicroOhm, fromMilliOhm, fromMm } from './text/units.js';

type SourceFile = CatalogueFile['sources'][number];
type LoadFile = CatalogueFile['loads'][number];

/** What sources and loads have in common. */
function common(file: SourceFile | LoadFile) {
  return {
    id: file.id,
    name: file.name,
    heightSlots: file.heightSlots,
    contactSlot: file.contactSlot,
    contact: {
      resistance: fromMicroOhm(file.contact.microOhm),
      thermalResistance: file.contact.thermalResistanceKPerW,
      heatShare: file.contact.heatShare,
      edgeHeight: file.contact.grip === 'whole-depth' ? 0 : fromMm(file.contact.grip.edgeHeightMm),
    },
    heatPath: { conductance: file.heatPath.conductanceWPerK, rise: file.heatPath.riseK },
    mass: file.massKg,
    ...(file.groundContact === undefined ? {} : {
      groundContact: {
        resistance: fromMicroOhm(file.groundContact.microOhm), maxCurrent: file.groundContact.maxA ?? Number.POSITIVE_INFINITY,
      },
    }),
  };
}

function readSource(file: SourceFile): SourceType {
  return {
    ...common(file),
    kind: file.kind,
    maxCurrent: file.maxCurrentA ?? Number.POSITIVE_INFINITY,
    maxPower: file.maxPowerKw === undefined ? Number.POSITIVE_INFINITY : fromKw(file.maxPowerKw),
    // 0 stands for "not given": the file allows only values above 0, and a study with droop sharing asks for one.
    droopResistance: fromMilliOhm(file.droopMilliOhm ?? 0),
  };
}

function readLoad(file: LoadFile): LoadType {
  return {
    ...common(file),
    power: { min: fromKw(file.powerKw.min), max: fromKw(file.powerKw.max) },
    mixWeight: file.mixWeight,
  };
}

function logContactSlot(file: SourceFile | LoadFile, path: string, log: ProblemLog): void {
  if (file.contactSlot > file.heightSlots) {
    log.add(`${path}.contactSlot`, String(file.contactSlot),
      `give 1 to ${file.heightSlots}: the unit is ${file.heightSlots} slots high`);
  }
}

/** A catalogue from parsed JSON; null where a problem was logged. */
export function readCatalogue(json: unknown, log: ProblemLog): Catalogue | null {
  if (!hasFormat(json, CATALOGUE_FORMAT, 'catalogue', log)) {
    return null;
  }
  logPrototypeKeys(json, '', log);
  const { parts } = parseParts(catalogueSchema, json, log);
  logImplausible(json, log);
  const places = new Map<string, string>();
  const checkId = (id: string, path: string): void => {
    const first = places.get(id);
    if (first !== undefined) {
      log.add(`${path}.id`, `"${id}", as in ${first}`, 'give every source and load an id of its own');
    } else {
      places.set(id, path);
    }
  };
  parts.sources?.forEach((source, index) => {
    checkId(source.id, `sources[${index}]`);
    logContactSlot(source, `sources[${index}]`, log);
  });
  parts.loads?.forEach((load, index) => {
    checkId(load.id, `loads[${index}]`);
    logContactSlot(load, `loads[${index}]`, log);
    if (load.powerKw.min > load.powerKw.max) {
      log.add(`loads[${index}].powerKw.max`, String(load.powerKw.max),
        `give at least "min" (${load.powerKw.min}), in kW`);
    }
  });
  if (!log.isEmpty) {
    return null;
  }
  const file = parts as CatalogueFile;
  return { name: file.name, sources: file.sources.map(readSource), loads: file.loads.map(readLoad) };
}
