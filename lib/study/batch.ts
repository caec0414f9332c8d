/** Draws and rates a run of scenarios into a table: what one worker does. */
import { PlacementNotFound } from '../draw/errors.js';
import type { ScenarioSource } from '../draw/index.js';
import { LOAD, POWER_SHELF, UNIT, UNIT_FIELDS, type UnitRows } from '../draw/unitRows.js';
import type { RackModel } from '../ladder/index.js';
import { LIMIT_NAMES } from '../ladder/limitCheck.js';
import { NoFeedError } from '../ladder/operatingState.js';
import { type RatedPower, RatingError } from '../ladder/ratedPower.js';
import { placementClassIndex } from './placementClass.js';
import { NOT_RATED, OPERATING_STATE_RULES, POLE_NAMES, RATED, type ScenarioTable } from './scenarioTable.js';

/**
 * Fills rows from..to (exclusive). Scenarios that cannot be placed, fed or rated are marked as not rated and stay
 * countable; any other error is a defect and is thrown.
 */
export function rateBatch(source: ScenarioSource, model: RackModel, table: ScenarioTable, from: number, to: number): void {
  const { rated } = table.columns;
  const { rows } = model;
  for (let index = from; index < to; index++) {
    try {
      table.columns.unitsLeftOut[index] = source.drawInto(rows, index);
      describe(table, rows, model.rack.slotCount);
      record(table, index, model.rateRows());
      rated[index] = RATED;
    } catch (error) {
      if (!isUnrateable(error)) throw error;
      table.columns.ratedPower[index] = 0;
      rated[index] = NOT_RATED;
    }
  }
}

/** Errors that belong to one scenario rather than to the program. */
export function isUnrateable(error: unknown): error is Error {
  return error instanceof PlacementNotFound || error instanceof NoFeedError || error instanceof RatingError;
}

function record({ columns }: ScenarioTable, index: number, answer: RatedPower): void {
  columns.ratedPower[index] = answer.power;
  columns.limit[index] = LIMIT_NAMES.indexOf(answer.limit);
  columns.slot[index] = answer.slot;
  columns.pole[index] = POLE_NAMES.indexOf(answer.pole);
  columns.state[index] = OPERATING_STATE_RULES.indexOf(answer.state.rule);
  columns.outSlot[index] = answer.state.outSlot;
}

function describe({ columns }: ScenarioTable, rows: UnitRows, slotCount: number): void {
  const { index, build, numbers } = rows;
  let shelves = 0;
  let shelfSlots = 0;
  let loads = 0;
  let total = 0;
  let loadSlots = 0;
  let largest = 0;
  for (let at = 0; at < UNIT_FIELDS * rows.count; at += UNIT_FIELDS) {
    const kind = numbers[at + UNIT.kind];
    const contactSlot = numbers[at + UNIT.contactSlot];
    if (kind === LOAD) {
      const power = numbers[at + UNIT.power];
      loads++;
      total += power;
      loadSlots += power * contactSlot;
      largest = Math.max(largest, power);
    } else if (kind === POWER_SHELF) {
      shelves++;
      shelfSlots += contactSlot;
    }
  }
  columns.loadCount[index] = loads;
  columns.meanSourceSlot[index] = shelves > 0 ? shelfSlots / shelves : 0;
  columns.meanLoadSlot[index] = total > 0 ? loadSlots / total : 0;
  columns.largestShare[index] = total > 0 ? largest / total : 0;
  columns.placementClass[index] = placementClassIndex(rows, slotCount);
  columns.contactFactor[index] = build.contactFactor;
  columns.filmFactor[index] = build.filmFactor;
  columns.emissivity[index] = build.emissivity ?? -1;
  columns.areaFactor[index] = build.areaFactor;
  columns.inlet[index] = build.inlet ?? -1;
}
