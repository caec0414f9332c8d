import { finite } from './finite.js';

/** Stefan–Boltzmann constant, W/(m²·K⁴) (CODATA 2018). */
export const STEFAN_BOLTZMANN = 5.670374e-8;

/** Radiated heat emissivity·σ·area·(T⁴ − T_surroundings⁴): W for an area in m², W/m per metre of run. */
export function radiatedHeat(temperature: number, surroundings: number, emissivity: number, area: number): number {
  return finite(radiation(temperature, surroundings, emissivity, area), () => `radiation from ${temperature} K to ${surroundings} K`);
}

/** The same for the solver, whose trials may go astray. */
export function radiation(temperature: number, surroundings: number, emissivity: number, area: number): number {
  const square = temperature * temperature;
  const other = surroundings * surroundings;
  return emissivity * STEFAN_BOLTZMANN * area * (square * square - other * other);
}
