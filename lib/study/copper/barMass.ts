/** Mass, height of the centre of mass and price of a rack's bar. */
import { conductorMass, type Pole, type Rack, sectionArea } from '../../rack/index.js';

export interface BarMass {
  /** kg, plates of both poles, without joints and contacts. */
  readonly mass: number;
  /** m above the lower edge of slot 1; every section's mass at its mid-height. */
  readonly centreHeight: number;
  /** kg by id of the material. */
  readonly byMaterial: ReadonlyMap<string, number>;
}

/** Σ density · area · length over the sections of both poles, and Σ mass · mid-height / mass. */
export function barMass(rack: Rack): BarMass {
  const byMaterial = new Map<string, number>();
  let moment = 0;
  for (const { fromSlot, toSlot, mass, material } of [...masses(rack.supply, rack), ...masses(rack.return, rack)]) {
    moment += mass * 0.5 * (fromSlot - 1 + toSlot) * rack.pitch;
    byMaterial.set(material, (byMaterial.get(material) ?? 0) + mass);
  }
  const mass = conductorMass(rack).total;
  return { mass, centreHeight: moment / mass, byMaterial };
}

/** Price of the bar; null where a material of it has none. */
export function barPrice({ byMaterial }: BarMass, prices: ReadonlyMap<string, number>): number | null {
  let sum = 0;
  for (const [material, mass] of byMaterial) {
    const price = prices.get(material);
    if (price === undefined) return null;
    sum += price * mass;
  }
  return sum;
}

function masses(pole: Pole, { pitch }: Rack) {
  return pole.sections.map((section) => ({
    fromSlot: section.fromSlot,
    toSlot: section.toSlot,
    material: section.material.id,
    mass: section.material.density * sectionArea(section) * (section.toSlot - section.fromSlot + 1) * pitch,
  }));
}
