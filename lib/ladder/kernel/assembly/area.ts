// The conductors of a scenario: those of the rack file with another area.

import { both, pair, plus, returnOf, setPair, supplyOf, times } from './lanes';
import {
  feltAtMost, jointResistance, nominalSegmentConductance, nominalSegmentOffset, nominalSegmentSlope, nominalSheetOffset,
  nominalSheetSlope, nominalSheetThermal, segmentConductance, segmentOffset, segmentSlope, sheetOffset, sheetSlope,
  sheetThermal, slotCount,
} from './memory';

/** K/W, how strongly any hot spot follows the heats of all contacts around it, were all as large as the largest. */
export let feltThermalAtMost: f64 = 0;

/** Resistances, conductances and sheets of conductors with `factor` times the nominal area; joints stay as they are. */
export function setArea(factor: f64): void {
  const more = both(factor);
  const less = both(1 / factor);
  let most = both(0);
  for (let i = 0; i < slotCount; i++) {
    setPair(segmentOffset, i, plus(times(less, pair(nominalSegmentOffset, i)), pair(jointResistance, i)));
    setPair(segmentSlope, i, times(less, pair(nominalSegmentSlope, i)));
    setPair(segmentConductance, i, times(more, pair(nominalSegmentConductance, i)));
    setPair(sheetOffset, i, times(less, pair(nominalSheetOffset, i)));
    setPair(sheetSlope, i, times(less, pair(nominalSheetSlope, i)));
    const thermal = times(less, pair(nominalSheetThermal, i));
    setPair(sheetThermal, i, thermal);
    most = f64x2.pmax(most, times(thermal, pair(feltAtMost, i)));
  }
  feltThermalAtMost = max(supplyOf(most), returnOf(most));
}
