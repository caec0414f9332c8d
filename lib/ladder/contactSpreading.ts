/**
 * What a contact at the front edge of a deep bar adds to a ladder that knows only the mean over the depth.
 *
 * Current enters the bar through a patch of height a at the front edge and spreads over the depth w. With d = |z_j − z_k|
 * between two contacts, r = resistivity/thickness the sheet resistance, k·τ the sheet conductance of all plates together
 * and H the height of the bar, the strip's Fourier series gives (images at the two ends included)
 *
 *   g(d) = Σ_n exp(−nπd/w)/(nπ) = −(1/π)·ln(1 − e^(−πd/w))
 *   F_jk = g(d)·[j ≠ k] + g(z_j + z_k) + g(2H − z_j − z_k)
 *   voltage of a patch above the depth's mean:   V_j  = r_j·(Σ_k F_jk·ι_k + S·ι_j)
 *   heat made by spreading:                      Q_j  = ι_j·V_j
 *   front edge above the depth's mean:           ΔT_j = (Σ_k F_jk·q_k + M·q_j)/(k·τ)
 *
 * with ι the current into the pole, q the heat through the patch and made beside it. The patch's own terms, beyond what
 * a ladder with the whole current at one node already counts, are
 *
 *   S = (1/π)·[3/2 − ln s − s²/144 + s⁴/43200 − …]     mean over the patch, s = πa/w
 *   M = (1/π)·[1 − ln(s/2) − s²/288 + s⁴/230400 − …]   middle of the patch, the hottest point
 *
 * Method: Carslaw & Jaeger (1959), Conduction of Heat in Solids, §5.3; Holm (1967), Electric Contacts, §3; both from
 * memory. The plate solved by finite elements in test/independent agrees.
 */
import { finite } from './finite.js';
import type { PoleSegments } from './segments.js';

/** Contacts further apart than this many depths do not feel each other: e^(−1.5π)/π is 0.003 of a unit current. */
export const SPREADING_REACH = 1.5;

/** Potential of a strip's edge at distance d from a unit current put in there, per unit of sheet resistance, above the depth's mean. */
export function edgePotential(distance: number, depth: number): number {
  if (distance > SPREADING_REACH * depth) return 0;
  return finite(-Math.log(-Math.expm1((-Math.PI * distance) / depth)) / Math.PI, () => `edge ${distance} m away, depth ${depth} m`);
}

/**
 * S: mean over an edge patch (m) of its own potential, per unit of sheet resistance: −(1/π)·mean of ln(2·sinh(πd/2w))
 * over all pairs of points of the patch. A patch higher than the depth counts as one of the depth.
 */
export function patchMean(height: number, depth: number): number {
  const square = (Math.PI * Math.min(1, height / depth)) ** 2;
  return finite(
    (-0.5 * Math.log(square) + 1.5 - square / 144 + square ** 2 / 43200 - square ** 3 / 5080320) / Math.PI, () => patchWords(height, depth));
}

/** M: the same in the middle of the patch, over all its points as seen from there. */
export function patchMiddle(height: number, depth: number): number {
  const square = (Math.PI * Math.min(1, height / depth)) ** 2;
  return finite(
    (-0.5 * Math.log(square / 4) + 1 - square / 288 + square ** 2 / 230400 - square ** 3 / 81285120) / Math.PI,
    () => patchWords(height, depth));
}

function patchWords(height: number, depth: number): string {
  return `patch of ${height} m on a depth of ${depth} m`;
}

/** Spreading in one pole. Arrays are `[slot]`. */
export class ContactSpreading {
  /** F_jk, `[slot × slot]`. */
  readonly mutual: Float64Array;
  /** Σ_k F_jk: what slot j feels of all others and the ends at most, per unit of the largest, `[slot]`. */
  readonly feltAtMost: Float64Array;
  /** Slots from..to whose contacts a slot feels. */
  readonly from: Int32Array;
  readonly to: Int32Array;
  /** m, depth of the bar at a slot. */
  readonly depth: Float64Array;

  constructor({ sectionAt }: PoleSegments, pitch: number) {
    const n = sectionAt.length;
    this.depth = Float64Array.from(sectionAt, ({ plates }) => plates.depth);
    this.mutual = new Float64Array(n * n);
    this.feltAtMost = new Float64Array(n);
    this.from = new Int32Array(n);
    this.to = new Int32Array(n);
    for (let j = 0; j < n; j++) {
      this.from[j] = j;
      this.to[j] = j;
      for (let k = 0; k < n; k++) {
        // Across a step of the section the mean depth stands for both.
        const depth = (this.depth[j] + this.depth[k]) / 2;
        const ends = edgePotential((j + k + 1) * pitch, depth) + edgePotential((2 * n - j - k - 1) * pitch, depth);
        const felt = ends + (j === k ? 0 : edgePotential(Math.abs(j - k) * pitch, depth));
        if (felt === 0) continue;
        this.mutual[j * n + k] = felt;
        this.feltAtMost[j] += felt;
        this.from[j] = Math.min(this.from[j], k);
        this.to[j] = Math.max(this.to[j], k);
      }
    }
  }
}
