import { finite } from './finite.js';

/**
 * Mean Nusselt number of a warm horizontal plate in still air, on L = area/perimeter.
 * Facing up 0.54·Ra^(1/4) (Ra 1e4 to 1e7; used below too, where it errs low), facing down 0.27·Ra^(1/4).
 * Source: McAdams (1954); Incropera, eqs. 9.30 and 9.32 (5th edition).
 */
export function horizontalPlateNusselt(rayleigh: number, facing: 'up' | 'down'): number {
  return finite((facing === 'up' ? 0.54 : 0.27) * rayleigh ** 0.25, () => `plate at Ra = ${rayleigh}`);
}
