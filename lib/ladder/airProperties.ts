/** Dry air as an ideal gas with Sutherland transport properties. SI, temperatures in kelvin. */

import { finite } from './finite.js';

/** Specific gas constant of dry air, J/(kg·K) (ISO 2533:1975). */
export const GAS_CONSTANT_AIR = 287.05287;
/** J/(kg·K); varies by less than 1 % from 250 K to 400 K (Incropera, table A.4). */
export const SPECIFIC_HEAT_AIR = 1007;
/** m/s². */
export const GRAVITY = 9.80665;
/** Pa. */
export const STANDARD_PRESSURE = 101325;

/**
 * Pressure of the standard atmosphere, Pa, at an altitude in m (ISO 2533:1975): p₀·(1 − 2.25577e-5·h)^5.25588.
 *
 * @throws RangeError outside −500 m to 11 km
 * @example pressureAtAltitude(0) // 101325
 */
export function pressureAtAltitude(altitude: number): number {
  if (!(altitude >= -500 && altitude <= 11000)) {
    throw new RangeError(`altitude ${altitude} m: the standard troposphere covers -500 m to 11000 m`);
  }
  return STANDARD_PRESSURE * (1 - 2.25577e-5 * altitude) ** 5.25588;
}

/** Thermal conductivity, W/(m·K): 0.0241·(T/273)^1.5·(273+194)/(T+194) (White, Viscous Fluid Flow, table 1-3). */
export function airConductivity(temperature: number): number {
  return finite(0.0241 * (temperature / 273) ** 1.5 * ((273 + 194) / (temperature + 194)), () => `conductivity of air at ${temperature} K`);
}

/** Dynamic viscosity, Pa·s: 1.716e-5·(T/273)^1.5·(273+111)/(T+111) (White, Viscous Fluid Flow, table 1-2). */
export function airViscosity(temperature: number): number {
  return finite(1.716e-5 * (temperature / 273) ** 1.5 * ((273 + 111) / (temperature + 111)), () => `viscosity of air at ${temperature} K`);
}

/** Properties of air at a film temperature (K) and pressure (Pa). */
export interface AirProperties {
  /** W/(m·K). */
  readonly conductivity: number;
  /** Kinematic viscosity, m²/s. */
  readonly kinematicViscosity: number;
  readonly prandtl: number;
  /** g·β/(ν·α), 1/(m³·K): the Rayleigh number per cubed length and kelvin, with β = 1/T. */
  readonly rayleighFactor: number;
}

/** Film properties of air, valid 150 K to 1400 K; throws RangeError outside. */
export function airProperties(temperature: number, pressure: number = STANDARD_PRESSURE): AirProperties {
  if (!(temperature >= 150 && temperature <= 1400)) {
    throw new RangeError(`air at ${temperature} K: properties are given from 150 K to 1400 K`);
  }
  const density = pressure / (GAS_CONSTANT_AIR * temperature);
  const conductivity = airConductivity(temperature);
  const kinematicViscosity = airViscosity(temperature) / density;
  const diffusivity = conductivity / (density * SPECIFIC_HEAT_AIR);
  return {
    conductivity,
    kinematicViscosity,
    prandtl: kinematicViscosity / diffusivity,
    rayleighFactor: GRAVITY / (temperature * kinematicViscosity * diffusivity),
  };
}
