import type { SourcesFile } from '../schema/drawSchema.js';
import type { SourceCount, SourcesDraw } from '../studyModel.js';
import type { ProblemLog } from '../text/problemLog.js';
import { findSource } from './catalogueIds.js';
import type { CountedSource } from './countedSource.js';
import type { StudyInputs } from './inputs.js';
import { logPlaces, logTooTall, type FixedPlace } from './places.js';
import { logPositions } from './positions.js';

/** The sources of a study. */
export interface ReadSources {
  readonly draw: SourcesDraw;
  /** Types found in the catalogue; null where one was not found, or there is no catalogue. */
  readonly types: readonly CountedSource[] | null;
  /** Units whose place the file gives. */
  readonly fixed: readonly FixedPlace[];
}

function countUnits(ids: readonly string[]): SourceCount[] {
  return [...new Set(ids)].map((id) => ({ id, count: ids.filter((other) => other === id).length }));
}

/** Number of units of each type: as listed, or counted where the places are given one by one. */
function readCounts({ units, positions }: SourcesFile, log: ProblemLog): SourceCount[] {
  const placed = positions.draw === 'fixed' ? countUnits(positions.units.map(({ id }) => id)) : null;
  if (units === undefined) {
    if (placed === null) {
      log.add('sources.units', 'nothing', 'list the sources of the rack, as {"id": …, "count": …}');
    }
    return placed ?? [];
  }
  units.forEach(({ id }, index) => {
    const first = units.findIndex((other) => other.id === id);
    if (first < index) {
      log.add(`sources.units[${index}].id`, `"${id}", as in units[${first}]`,
        'list each source once, with the count of all');
    }
  });
  if (placed !== null) {
    const expected = (id: string): number => placed.find((counted) => counted.id === id)?.count ?? 0;
    units.forEach(({ id, count }, index) => {
      if (count !== expected(id)) {
        log.add(`sources.units[${index}].count`, String(count),
          `"positions" names ${expected(id)} of "${id}": make both agree, or leave "units" out`);
      }
    });
    placed.filter(({ id }) => !units.some((listed) => listed.id === id)).forEach(({ id }) => {
      log.add('sources.units', `no "${id}"`, '"positions" names it: make both agree, or leave "units" out');
    });
  } else if (units.every(({ count }) => count === 0)) {
    log.add('sources.units', units.length === 0 ? 'an empty list' : 'a count of 0 everywhere',
      'give at least one source with a count of at least 1');
  }
  return units;
}

/** The sources as drawn, with their catalogue types; problems go to the log. */
export function readSources(file: SourcesFile, inputs: StudyInputs, log: ProblemLog): ReadSources {
  const { catalogue, rack } = inputs;
  const counts = readCounts(file, log);
  const { positions } = file;
  const fixedUnits = positions.draw === 'fixed' ? positions.units : [];
  const found = catalogue === null ? [] : counts.map(({ id, count }, index) => {
    const path = file.units !== undefined ? `sources.units[${index}].id`
      : `sources.positions.units[${fixedUnits.findIndex((unit) => unit.id === id)}].id`;
    const type = findSource(id, path, catalogue, log);
    return type !== null && (rack === null || logTooTall(type, path, rack.slotCount, log)) ? { type, count } : null;
  });
  const complete = found.filter((source): source is CountedSource => source !== null);
  const types = catalogue !== null && complete.length === counts.length ? complete : null;
  const fixed = fixedUnits.flatMap(({ id, bottomSlot }, index): FixedPlace[] => {
    const type = complete.find((source) => source.type.id === id)?.type;
    return type === undefined ? []
      : [{ id, bottomSlot, heightSlots: type.heightSlots, path: `sources.positions.units[${index}]` }];
  });
  if (rack !== null) {
    logPlaces(fixed, rack.slotCount, log);
  }
  logPositions(positions, counts, types, rack?.slotCount ?? null, log);
  return { draw: { units: counts, positions }, types, fixed };
}
