import { finite } from './finite.js';

/**
 * Prandtl term of Churchill & Chu, [1 + (0.492/Pr)^(9/16)]^(8/27).
 */
export function churchillChuPrandtlTerm(prandtl: number): number {
  return (1 + (0.492 / prandtl) ** (9 / 16)) ** (8 / 27);
}

/**
 * Mean Nusselt number of an isothermal vertical plate in still air, laminar and turbulent:
 * Nu = {0.825 + 0.387·Ra^(1/6) / [1 + (0.492/Pr)^(9/16)]^(8/27)}².
 *
 * Ra 0 to 1e12, on the plate's height. Source: Churchill & Chu (1975), Int. J. Heat Mass Transfer 18, 1323, eq. 9.
 *
 * @example churchillChuNusselt(0.69 * 2.63e9, 0.69) // 147.162
 */
export function churchillChuNusselt(rayleigh: number, prandtl: number): number {
  return finite(
    (0.825 + (0.387 * rayleigh ** (1 / 6)) / churchillChuPrandtlTerm(prandtl)) ** 2, () => `plate at Ra = ${rayleigh}, Pr = ${prandtl}`);
}
