import { finite } from './finite.js';

/** Reynolds number at which a flat plate's boundary layer is taken to turn turbulent (Incropera, section 7.1). */
export const TRANSITION_REYNOLDS = 5e5;

/**
 * Mean Nusselt number of a flat plate in parallel flow.
 * Laminar (Re ≤ 5e5): 0.664·Re^(1/2)·Pr^(1/3). Mixed: (0.037·Re^(4/5) − 871)·Pr^(1/3), Re ≤ 1e8.
 * Source: Incropera, eqs. 7.30 and 7.38; Pr 0.6 to 60.
 *
 * @example flatPlateNusselt(9600, 0.687) // 57.4
 */
export function flatPlateNusselt(reynolds: number, prandtl: number): number {
  const cubeRootPrandtl = Math.cbrt(prandtl);
  const factor = reynolds <= TRANSITION_REYNOLDS ? 0.664 * Math.sqrt(reynolds) : 0.037 * reynolds ** 0.8 - 871;
  return finite(factor * cubeRootPrandtl, () => `plate at Re = ${reynolds}, Pr = ${prandtl}`);
}
