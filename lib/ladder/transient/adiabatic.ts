/**
 * Heating so fast that nothing is lost on the way, as by a fault current: all of I²·R goes into the metal.
 *
 *   ∫I² dt = k²·A²,  k² = (c·d)/(ρ20·α)·ln{[1 + α·(T_end − 293.15)]/[1 + α·(T_start − 293.15)]}
 *
 * (the relation from which IEC 60364-5-54 takes its factors k; there in A·√s/mm²). Holds for faults of a few seconds at
 * most; what a fault does by forces and arcs is not covered. K, m², A, s.
 */
import { type Material, ZERO_CELSIUS } from '../../rack/model.js';

const REFERENCE = ZERO_CELSIUS + 20;

/**
 * The factor k, A·√s/m²; a millionth of it is A·√s/mm².
 * @param start K
 * @param end K, not below `start`
 * @throws RangeError for temperatures that are not numbers, fall, or lie where the material's resistance would vanish
 */
export function adiabaticFactor(material: Material, start: number, end: number): number {
  if (!(end >= start && Number.isFinite(end))) throw new RangeError(`adiabatic heating from ${start} K to ${end} K: must not fall`);
  const heat = material.density * material.specificHeat;
  const alpha = material.temperatureCoefficient;
  if (alpha === 0) return Math.sqrt((heat * (end - start)) / material.resistivity20);
  const logarithm = Math.log(relative(material, end) / relative(material, start));
  return Math.sqrt((heat * logarithm) / (material.resistivity20 * alpha));
}

/**
 * Current that heats a conductor of this area from `start` to `end` (K) in so many seconds, A.
 * @throws RangeError as {@link adiabaticFactor}, or unless area and time are above 0
 */
export function adiabaticCurrent(material: Material, area: number, start: number, end: number, seconds: number): number {
  if (!(area > 0 && seconds > 0 && Number.isFinite(area / seconds))) {
    throw new RangeError(`area ${area} m² and time ${seconds} s: must be above 0`);
  }
  return (adiabaticFactor(material, start, end) * area) / Math.sqrt(seconds);
}

/**
 * Temperature (K) to which a current (A) heats a conductor of this area in so many seconds.
 * @throws RangeError unless area is above 0 and current and time are not negative, or beyond any number
 */
export function adiabaticTemperature(material: Material, area: number, start: number, current: number, seconds: number): number {
  if (!(area > 0 && seconds >= 0)) throw new RangeError(`area ${area} m² and time ${seconds} s: area must be above 0`);
  const rho = material.resistivity20;
  const alpha = material.temperatureCoefficient;
  const exponent = ((current / area) ** 2 * seconds * rho) / (material.density * material.specificHeat);
  const end = alpha === 0
    ? start + exponent
    : REFERENCE + (relative(material, start) * Math.exp(alpha * exponent) - 1) / alpha;
  if (!Number.isFinite(end)) throw new RangeError(`${current} A for ${seconds} s heat the conductor beyond any number`);
  return end;
}

/** Resistance as a multiple of that at 20 °C. */
function relative(material: Material, temperature: number): number {
  const times = 1 + material.temperatureCoefficient * (temperature - REFERENCE);
  if (!(times > 0)) throw new RangeError(`${temperature} K: no resistance is left there`);
  return times;
}
