import { finite } from './finite.js';

/**
 * Mean Nusselt number (on the gap) of two facing isothermal vertical plates, open at top and bottom:
 * Nu = (576/El² + 2.873/√El)^(−1/2), with the Elenbaas number El = Ra_gap·gap/height.
 *
 * Wide gaps tend to two single plates, narrow ones to fully developed flow (El/24).
 * Heat per face area is Nu·k/gap·(T_plate − T_inlet air).
 * Source: Bar-Cohen & Rohsenow (1984), J. Heat Transfer 106, 116; Incropera, table 9.3.
 *
 * @example channelNusselt(54.3) // 1.307
 */
export function channelNusselt(elenbaas: number): number {
  if (elenbaas <= 0) return 0;
  return finite(elenbaas / Math.sqrt(576 + 2.873 * elenbaas * Math.sqrt(elenbaas)), () => `channel at El = ${elenbaas}`);
}
