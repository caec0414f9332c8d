/** Racks, catalogues, studies and CSV texts handed over in code. From files: loader.ts. */
import type { HeatRun } from './heatRunModel.js';
import type { Catalogue, Rack } from './model.js';
import { readCatalogue } from './readCatalogue.js';
import { type HeatRunContext, readHeatRun } from './readHeatRun.js';
import { readInventory } from './readInventory.js';
import { readMeasurements } from './readMeasurements.js';
import { readRack } from './readRack.js';
import { csvReferences, readStudy, readStudyParts } from './readStudy.js';
import type { StudyInputs } from './study/inputs.js';
import type { ObservedRack, Study } from './studyModel.js';
import { ProblemLog, throwProblems } from './text/problemLog.js';
import { listWords } from './text/spelling.js';

/** Runs a reader and throws what it logged. */
function orThrow<T>(fileName: string, read: (log: ProblemLog) => T | null): T {
  const log = new ProblemLog(fileName);
  const value = read(log);
  throwProblems(log);
  return value as T;
}

/**
 * A rack from parsed JSON (format `slotcast-rack/1`, see schema/rack.schema.json), in SI.
 *
 * @param fileName name that problems are reported under.
 * @throws InputError with every problem found.
 * @example
 * ```ts
 * const rack = parseRack(JSON.parse(text), 'my-rack.json');
 * rack.pitch; // 0.04445, m
 * ```
 */
export function parseRack(json: unknown, fileName = 'rack'): Rack {
  return orThrow(fileName, (log) => readRack(json, log));
}

/**
 * An equipment catalogue from parsed JSON (format `slotcast-catalogue/1`, see schema/catalogue.schema.json), in SI.
 *
 * @throws InputError with every problem found.
 */
export function parseCatalogue(json: unknown, fileName = 'catalogue'): Catalogue {
  return orThrow(fileName, (log) => readCatalogue(json, log));
}

/**
 * Racks observed in the field, from CSV text with the columns `rack,bottomSlot,heightSlots,equipment,powerKw` in any
 * order: one line per load unit, `equipment` naming a load of the catalogue. Powers in W inside.
 *
 * @returns racks in the order of their first line, units from bottom to top.
 * @throws InputError with the problems found, the first twenty of each kind listed.
 */
export function parseInventory(csvText: string, fileName = 'inventory'): ObservedRack[] {
  return orThrow(fileName, (log) => readInventory(csvText, log));
}

/**
 * One column of numbers from CSV text, in the unit that ends the column's name (such as `contactMicroOhm`): this
 * function does not convert. Other columns are not looked at.
 *
 * @throws InputError with the problems found, the first twenty listed.
 */
export function parseMeasurements(csvText: string, column: string, fileName = 'measurements'): number[] {
  return orThrow(fileName, (log) => readMeasurements(csvText, column, log));
}

/**
 * A heat run from CSV text, one row per unit or reading, with the columns `point,kind,slot,equipment,sensor,pole,temperatureC`
 * and where they are wanted `depth,currentA,powerKw,standardErrorK,driftKPerH,timeMin`, in any order. `kind` is `source`,
 * `load`, `bar` (a sensor on the bar) or `air` (without a slot: the inlet). Of several times the last reading counts.
 *
 * @param context rack and catalogue that the rows speak of
 * @throws InputError with the problems found, the first twenty listed.
 */
export function parseHeatRun(csvText: string, context: HeatRunContext, fileName = 'heat run'): HeatRun {
  return orThrow(fileName, (log) => readHeatRun(csvText, context, log));
}

/** What a study handed over in code refers to. */
export interface StudyContext {
  readonly rack: Rack;
  readonly catalogue: Catalogue;
  /** Inventories by the name the study gives as `loads.file`. */
  readonly inventories?: Readonly<Record<string, readonly ObservedRack[]>>;
  /** Measurements by the names the study gives as `file` and `column`, in the column's unit. */
  readonly measurements?: Readonly<Record<string, Readonly<Record<string, readonly number[]>>>>;
  /** Name that problems are reported under. */
  readonly fileName?: string;
}

function own<T>(record: Readonly<Record<string, T>> | undefined, key: string): T | null {
  return record !== undefined && Object.hasOwn(record, key) ? record[key] : null;
}

/**
 * A study from parsed JSON (format `slotcast-study/1`, see schema/study.schema.json) with its rack and catalogue given
 * as objects: the keys `rack` and `catalogue` may be left out, and are not looked at.
 *
 * @throws InputError with every problem found.
 */
export function parseStudy(json: unknown, context: StudyContext): Study {
  const log = new ProblemLog(context.fileName ?? 'study');
  const parts = readStudyParts(json, true, log);
  const inventoryLogs: ProblemLog[] = [];
  let study: Study | null = null;
  if (parts !== null) {
    for (const { path, file, column } of csvReferences(parts)) {
      const columns = own(context.measurements, file);
      if (column === null && own(context.inventories, file) === null) {
        const passed = Object.keys(context.inventories ?? {});
        log.add(path, `"${file}"`, passed.length === 0 ? 'pass this inventory with the study: none was passed'
          : `give a name of the inventories passed: ${listWords(passed)}`);
      } else if (column !== null && (columns === null || own(columns, column) === null)) {
        log.add(path, `"${file}", column "${column}"`, 'give a file and column of the measurements passed');
      }
    }
    const inputs: StudyInputs = {
      rack: context.rack,
      catalogue: context.catalogue,
      inventory(file) {
        const racks = own(context.inventories, file);
        const inventoryLog = new ProblemLog(file);
        inventoryLogs.push(inventoryLog);
        return racks === null ? null : { racks, log: inventoryLog };
      },
      measurements: (file, column) => own(own(context.measurements, file) ?? undefined, column),
    };
    study = readStudy(parts, inputs, log);
  }
  throwProblems(log, ...inventoryLogs);
  return study as Study;
}
