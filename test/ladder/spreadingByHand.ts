import type { PlacedUnit, Scenario } from '../../lib/draw/scenario.js';
import { edgePotential, patchMean, patchMiddle, SPREADING_REACH } from '../../lib/ladder/index.js';
import type { Rack } from '../../lib/rack/model.js';

/** What of a solution it takes. */
export interface SpreadingCase {
  readonly supplyTemperature: ArrayLike<number>;
  readonly returnTemperature: ArrayLike<number>;
  readonly air: ArrayLike<number>;
  readonly units: readonly { readonly unit: PlacedUnit; readonly current: number }[];
}

export interface Spreading {
  /** V of the contacts above the depth's mean, counted as for the supply pole, `[slot]`. */
  readonly voltage: readonly number[];
  /** W made by spreading, `[slot]`. */
  readonly heat: readonly number[];
  /** K, front edge above the mean over the depth, `[slot]`. */
  readonly hotSpot: readonly number[];
}

/** Spreading around the contacts of one pole, as a plain double sum over all pairs. */
export function spreadingByHand(rack: Rack, scenario: Scenario, solution: SpreadingCase, p: 0 | 1): Spreading {
  const { sections } = p === 0 ? rack.supply : rack.return;
  const t = p === 0 ? solution.supplyTemperature : solution.returnTemperature;
  const slots = Array.from({ length: rack.slotCount }, (_, i) => {
    const section = sections.find((s) => s.fromSlot <= i + 1 && i + 1 <= s.toSlot);
    if (!section) throw new Error(`no section at ${i + 1}`);
    const { material, plates } = section;
    const thickness = plates.count * plates.thickness * scenario.build.areaFactor;
    const resistivity = material.resistivity20 * (1 + material.temperatureCoefficient * (t[i] - 293.15));
    const at = solution.units.find(({ unit }) => unit.contactSlot === i + 1 && unit.contactEdgeHeight > 0);
    return {
      depth: plates.depth, at, sheet: resistivity / thickness, conductance: material.thermalConductivity * thickness,
      into: at === undefined ? 0 : at.unit.kind === 'load' ? -at.current : at.current,
    };
  });
  const felt = (j: number, k: number) => {
    const depth = (slots[j].depth + slots[k].depth) / 2;
    const z = (i: number) => (i + 0.5) * rack.pitch;
    const distances = [z(j) + z(k), 2 * rack.slotCount * rack.pitch - z(j) - z(k)];
    if (j !== k) distances.push(Math.abs(z(j) - z(k)));
    return distances.filter((d) => d <= SPREADING_REACH * depth).reduce((sum, d) => sum + edgePotential(d, depth), 0);
  };
  const sum = (j: number, own: typeof patchMean, x: (k: number) => number) => slots.reduce((total, slot, k) => (
    slot.at === undefined ? total
      : total + (felt(j, k) + (j === k ? own(slot.at.unit.contactEdgeHeight, slot.depth) : 0)) * x(k)), 0);
  const voltage = slots.map(({ sheet, at }, j) => (at === undefined ? 0 : sheet * sum(j, patchMean, (k) => slots[k].into)));
  const heat = slots.map(({ into }, j) => into * voltage[j]);
  const atEdge = slots.map(({ at }, k) => {
    if (at === undefined) return 0;
    const { contactResistance, contactHeatShare, heatConductance, heatRise } = at.unit;
    const contact = at.current ** 2 * contactResistance[p] * scenario.build.contactFactor * contactHeatShare;
    return heat[k] + contact + heatConductance * (solution.air[k] + heatRise - t[k]);
  });
  const hotSpot = slots.map(({ conductance }, j) => Math.max(0, sum(j, patchMiddle, (k) => atEdge[k]) / conductance));
  return { voltage, heat, hotSpot };
}
