import type { Rack } from '../../rack/model.js';
import { compileSegments } from '../segments.js';

/**
 * Heat that the metal of one slot takes per kelvin, J/K, `[slot × pole]`. Contacts, insulation and frame are left out:
 * with them the bar would warm more slowly.
 * @param areaFactor of the conductors, as in a scenario's build
 */
export function heatCapacities(rack: Rack, areaFactor = 1): Float64Array {
  const capacities = new Float64Array(2 * rack.slotCount);
  [rack.supply, rack.return].forEach((pole, p) => {
    compileSegments(rack, pole).sectionAt.forEach(({ material, plates }, slot) => {
      const volume = plates.count * plates.depth * plates.thickness * areaFactor * rack.pitch;
      capacities[2 * slot + p] = material.density * material.specificHeat * volume;
    });
  });
  return capacities;
}
