import { finite } from './finite.js';

/**
 * Film coefficient of the copper handbooks for bars in still air, W/(m²·K):
 * vertical faces 7.66·(θ/L)^0.25, horizontal faces 5.92·(θ/L)^0.25, θ in K, L (height or width of the face) in mm.
 * Source: Copper Development Association publication 22, Copper for Busbars: heat loss 7.66·θ^1.25/L^0.25 W/m².
 *
 * @param length m
 */
export function handbookFilmFactor(length: number, face: 'vertical' | 'horizontal'): number {
  return finite((face === 'vertical' ? 7.66 : 5.92) / (length * 1000) ** 0.25, () => `face of ${length} m`);
}
