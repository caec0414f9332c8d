import { finite } from './finite.js';

/** A bolted overlap of two alike conductors. SI. */
export interface OverlapJoint {
  /** Ω/m of each conductor. */
  readonly resistancePerMetre: number;
  /** m, length of the overlap. */
  readonly length: number;
  /** m, width of the touching faces. */
  readonly width: number;
  /** Ω·m², resistance of the touching faces per area; above 0. */
  readonly contactResistivity: number;
}

/**
 * Resistance of an overlap joint, Ω, from one end of the overlap to the other: two rails with a contact layer between,
 * R = r·l/2 + (r/λ)·coth(λ·l/2), λ = √(2·r·g), g = width/contact resistivity.
 *
 * A perfect contact leaves r·l/2, half the resistance of one conductor; a poor one tends to its own resistance
 * contactResistivity/(width·length) on top. Source: transmission-line equations of the two rails (closed form).
 *
 * @throws RangeError where a value is not above 0
 * @example overlapJointResistance({ resistancePerMetre: 1.724138e-5, length: 0.1, width: 0.1, contactResistivity: 1e-9 }) * 1e6 // 1.15734
 */
export function overlapJointResistance(joint: OverlapJoint): number {
  const { resistancePerMetre: r, length, width, contactResistivity } = joint;
  for (const [name, value] of Object.entries({ resistancePerMetre: r, length, width, contactResistivity })) {
    if (!(value > 0 && Number.isFinite(value))) throw new RangeError(`${name} ${value}: must be above 0`);
  }
  const decay = Math.sqrt((2 * r * width) / contactResistivity);
  return finite((r * length) / 2 + r / decay / Math.tanh((decay * length) / 2), () => `joint ${JSON.stringify(joint)}`);
}
