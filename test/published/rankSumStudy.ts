/**
 * A study whose law of rated power is known exactly: see rankSumLaw.test.ts.
 */
import { parseCatalogue, parseRack, parseStudy } from '../../lib/rack/index.js';

export const N = 48;
export const K = 10;
export const DROP = 1e-4;
export const SCENARIOS = 20_000;

const rack = parseRack({
  format: 'slotcast-rack/1',
  name: 'one-end-fed',
  slots: { count: N + 1, pitchMm: 50 },
  poles: {
    both: {
      sections: [{
        fromSlot: 1, toSlot: N + 1, material: 'copper-iacs-100',
        plates: { count: 1, depthMm: 100, thicknessMm: 10 }, emissivity: 0.3,
      }],
    },
  },
  film: { model: 'still-air' },
  air: { inletC: 20 },
  limits: { lowestLoadV: 50 - DROP },
  feed: { setV: 50, sharing: 'equal' },
  operatingStates: ['all-in-service'],
});

const contact = { microOhm: 1e-6, thermalResistanceKPerW: 0, grip: 'whole-depth' };
const catalogue = parseCatalogue({
  format: 'slotcast-catalogue/1',
  name: 'rank-sum',
  sources: [{ id: 'feed', name: 'Feed', kind: 'power-shelf', heightSlots: 1, contactSlot: 1, contact, massKg: 1 }],
  loads: [{
    id: 'load', name: 'Load', heightSlots: 1, contactSlot: 1, powerKw: { min: 1, max: 1 }, mixWeight: 1, contact,
    massKg: 1,
  }],
});

export const study = parseStudy({
  format: 'slotcast-study/1',
  name: 'rank sums',
  seed: 'rank-sum',
  scenarios: SCENARIOS,
  sources: { positions: { draw: 'fixed', units: [{ id: 'feed', bottomSlot: 1 }] } },
  loads: { draw: 'even', id: 'load', count: { min: K, max: K }, totalPowerKw: 10 },
  percentilesPercent: [0.1, 1, 5, 10, 50],
  confidencePercent: 99.9,
}, { rack, catalogue });

/** Loop resistance of one step at 20 °C, Ω. */
const STEP = (2 * 1.724138e-8 * 0.05) / (0.1 * 0.01);

/** W that belongs to a rated power: DROP = i·r·W with i = P/(K·50 V). */
export const sumOf = (power: number) => (DROP * K * 50) / (power * STEP);

/** Numbers of K-subsets of 1..N by their sum. */
export function countsBySum(): number[] {
  const most = (K * (2 * N - K + 1)) / 2;
  const counts = Array.from({ length: K + 1 }, () => new Array<number>(most + 1).fill(0));
  counts[0][0] = 1;
  for (let position = 1; position <= N; position++) {
    for (let k = Math.min(K, position); k >= 1; k--) {
      for (let sum = most; sum >= position; sum--) counts[k][sum] += counts[k - 1][sum - position];
    }
  }
  return counts[K];
}

/** W that a sum of positions belongs to. */
export const powerOf = (sum: number) => (DROP * K * 50) / (sum * STEP);
