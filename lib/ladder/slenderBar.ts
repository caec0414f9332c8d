import { finite } from './finite.js';

/**
 * Factor by which a slender vertical bar in still air convects more than a flat plate of its height, because the air
 * layer, as thick as the bar is wide, closes in from all sides:
 * f = 1 + B·[√32·Gr^(−1/4)·L/D]^C, B = 0.0571322 + 0.20305·Pr^(−0.43),
 * C = 0.9165 − 0.0043·Pr^(1/2) + 0.01333·ln Pr + 0.0004809/Pr.
 *
 * Laminar cylinders, Pr 0.01 to 100; a flat bar enters with D = girth/π. Source: Popiel, Wojtkowiak & Bober (2007),
 * Exp. Therm. Fluid Sci. 32, 607, fitted to Cebeci (1974); coefficients quoted from memory.
 *
 * @param grashof on the height
 * @param slenderness L/D
 */
export function slenderBarFactor(grashof: number, prandtl: number, slenderness: number): number {
  const { scale, order } = slenderBarLaw(prandtl);
  return finite(
    1 + scale * (slenderness / grashof ** 0.25) ** order, () => `bar at Gr = ${grashof}, Pr = ${prandtl}, L/D = ${slenderness}`);
}

/** f = 1 + scale·(L/D·Gr^(−1/4))^order. */
export function slenderBarLaw(prandtl: number): { scale: number; order: number } {
  const order = 0.9165 - 0.0043 * Math.sqrt(prandtl) + 0.01333 * Math.log(prandtl) + 0.0004809 / prandtl;
  return { scale: (0.0571322 + 0.20305 * prandtl ** -0.43) * Math.sqrt(32) ** order, order };
}
