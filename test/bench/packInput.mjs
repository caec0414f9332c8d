/**
 * What reference.c reads: the constants of a compiled rack, its film table and scenarios, as doubles in native order.
 */

/** K, air temperatures over which the film table is handed over: demonstration racks stay within. */
const AIR = { from: 280, to: 360 };
const KINDS = ['load', 'power-shelf', 'battery-shelf'];

/**
 * @param ladder a `Ladder` of lib/ladder, with equal sharing
 * @param scenarios as drawn, of that rack
 * @throws RangeError for a rack with droop sharing
 */
export function packInput(ladder, scenarios) {
  const { rack, edge, runs, kernel } = ladder;
  if (rack.sharing.model !== 'equal') {
    throw new RangeError(`sharing "${rack.sharing.model}" of "${rack.name}": the C reference knows "equal" only`);
  }
  const numbers = [];
  const put = (...values) => { for (const value of values) numbers.push(Number(value)); };
  const putAll = (values) => { for (const value of values) numbers.push(value); };
  const n = rack.slotCount;
  const { limits } = rack;
  put(n, rack.pitch, rack.setVoltage, rack.air.surroundings ?? 0, rack.air.inlet, rack.air.exhaustRise);
  put(limits.barRise, limits.barTemperature, limits.contactTemperature);
  put(limits.loadContactCurrent, limits.lowestLoadVoltage);
  putAll(rack.air.profile);
  // Arrays `[slot × pole]` of the kernel.
  for (const name of ['nominalSegmentOffset', 'nominalSegmentSlope', 'jointResistance', 'nominalSegmentConductance']) {
    putAll(kernel.numbers(name));
  }
  putAll(kernel.numbers('nominalEmissivity'));
  for (const name of ['nominalSheetOffset', 'nominalSheetSlope', 'nominalSheetThermal']) putAll(kernel.numbers(name));
  put(edge.poles[0].depth.every((depth, i) => depth === edge.poles[1].depth[i]) ? 1 : 0);
  for (const { depth, mutual, feltAtMost, from, to } of edge.poles) {
    for (const values of [depth, mutual, feltAtMost, from, to]) putAll(values);
  }
  const tables = [...new Set(runs.map(({ convection }) => convection))];
  put(tables.length);
  for (const table of tables) {
    const cells = table.filledCells(AIR.from, AIR.to);
    put(cells.rootFrom, cells.rootsPerUnit, cells.rootCells, cells.airFrom, cells.airStep, cells.airCells);
    putAll(cells.coefficients);
  }
  put(runs.length);
  for (const { convection, envelope, pole, slot, count } of runs) {
    put(tables.indexOf(convection), envelope, pole, slot, count);
  }
  put(scenarios.length);
  for (const { build, units } of scenarios) {
    // Not a number: as the rack file says.
    const { contactFactor, filmFactor, emissivity, areaFactor, inlet } = build;
    put(contactFactor, filmFactor, emissivity ?? Number.NaN, areaFactor, inlet ?? Number.NaN);
    put(units.length);
    for (const unit of units) {
      put(KINDS.indexOf(unit.kind), unit.bottomSlot, unit.heightSlots, unit.contactSlot, unit.power);
      put(...unit.contactResistance, unit.contactThermalResistance, unit.contactHeatShare, unit.contactEdgeHeight);
      put(unit.heatConductance, unit.heatRise, unit.sharingWeight, unit.maxCurrent, unit.maxPower);
    }
  }
  return Float64Array.from(numbers);
}
