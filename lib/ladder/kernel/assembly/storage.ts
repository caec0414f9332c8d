// A stage of a time step: what the metal stores, as if it were lost.

import { both, minus, pair, plus, setPair, times } from './lanes';
import { heat, heatSlope, heldTemperature, slotCount, storage, temperature } from './memory';
import { pitch } from './rack';

/** Whether heat is stored; else the sweeps are those of a steady state. */
export let isStored: bool = false;

/** From here on `storage` (W/K) pulls every node towards `heldTemperature` (K), or nothing does. */
export function store(on: bool): void {
  isStored = on;
}

/** Adds it to what the bar loses to the air, just assembled. */
export function addStored(): void {
  const perMetre = both(1 / pitch);
  for (let i = 0; i < slotCount; i++) {
    const kept = times(perMetre, pair(storage, i));
    setPair(heat, i, plus(pair(heat, i), times(kept, minus(pair(temperature, i), pair(heldTemperature, i)))));
    setPair(heatSlope, i, plus(pair(heatSlope, i), kept));
  }
}
