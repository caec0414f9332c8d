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
  const segmentOffsets = segmentOffset;
  const segmentSlopes = segmentSlope;
  const segmentConductances = segmentConductance;
  const sheetOffsets = sheetOffset;
  const sheetSlopes = sheetSlope;
  const sheetThermals = sheetThermal;
  const nominalSegmentOffsets = nominalSegmentOffset;
  const nominalSegmentSlopes = nominalSegmentSlope;
  const nominalSegmentConductances = nominalSegmentConductance;
  const nominalSheetOffsets = nominalSheetOffset;
  const nominalSheetSlopes = nominalSheetSlope;
  const nominalSheetThermals = nominalSheetThermal;
  const jointResistances = jointResistance;
  const more = both(factor);
  const less = both(1 / factor);
  let most = both(0);
  for (let i = 0; i < slotCount; i++) {
    setPair(segmentOffsets, i, plus(times(less, pair(nominalSegmentOffsets, i)), pair(jointResistances, i)));
    setPair(segmentSlopes, i, times(less, pair(nominalSegmentSlopes, i)));
    setPair(segmentConductances, i, times(more, pair(nominalSegmentConductances, i)));
    setPair(sheetOffsets, i, times(less, pair(nominalSheetOffsets, i)));
    setPair(sheetSlopes, i, times(less, pair(nominalSheetSlopes, i)));
    const thermal = times(less, pair(nominalSheetThermals, i));
    setPair(sheetThermals, i, thermal);
    most = f64x2.pmax(most, times(thermal, pair(feltAtMost, i)));
  }
  feltThermalAtMost = max(supplyOf(most), returnOf(most));
}
