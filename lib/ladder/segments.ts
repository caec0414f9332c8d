/**
 * The conductor between neighbouring slots, compiled from the sections of one pole.
 */
import type { Pole, Rack, Section } from '../rack/model.js';
import { ZERO_CELSIUS } from '../rack/model.js';

export interface PoleSegments {
  /** The section at each slot, `[slot]`. */
  readonly sectionAt: readonly Section[];
  /** Ω, `[slot − 1]`: resistance is conductorOffset + jointResistance + conductorSlope·(T_i + T_{i+1}). */
  readonly conductorOffset: Float64Array;
  /** Ω/K, `[slot − 1]`. */
  readonly conductorSlope: Float64Array;
  /** Ω, `[slot − 1]`. */
  readonly jointResistance: Float64Array;
  /** W/K along the bar, `[slot − 1]`. */
  readonly conductance: Float64Array;
}

/**
 * One segment reaches from mid-slot to mid-slot; each half has the section of its slot. Resistance of a half is
 * ρ20·[1 + α·(T − 20 °C)]·(pitch/2)/A at the segment's mean temperature.
 */
export function compileSegments(rack: Rack, pole: Pole): PoleSegments {
  const sectionAt = Array.from({ length: rack.slotCount }, (_, i) => {
    const section = pole.sections.find((s) => s.fromSlot <= i + 1 && i + 1 <= s.toSlot);
    if (!section) throw new RangeError(`slot ${i + 1} has no section`);
    return section;
  });
  const count = Math.max(0, rack.slotCount - 1);
  const segments = {
    sectionAt,
    conductorOffset: new Float64Array(count),
    conductorSlope: new Float64Array(count),
    jointResistance: new Float64Array(count),
    conductance: new Float64Array(count),
  };
  const half = rack.pitch / 2;
  for (let i = 0; i < count; i++) {
    let thermalResistance = 0;
    for (const { material, plates } of [sectionAt[i], sectionAt[i + 1]]) {
      const area = plates.count * plates.depth * plates.thickness;
      const r20 = (material.resistivity20 * half) / area;
      segments.conductorOffset[i] += r20 * (1 - material.temperatureCoefficient * (ZERO_CELSIUS + 20));
      segments.conductorSlope[i] += (r20 * material.temperatureCoefficient) / 2;
      thermalResistance += half / (material.thermalConductivity * area);
    }
    segments.conductance[i] = 1 / thermalResistance;
  }
  for (const joint of pole.joints) segments.jointResistance[joint.aboveSlot - 1] += joint.resistance;
  return segments;
}
