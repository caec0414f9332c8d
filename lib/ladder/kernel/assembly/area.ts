// The conductors of a scenario: those of the rack file with another area.

import { both, pair, plus, setPair, times } from './lanes';
import {
  jointResistance, nominalSegmentConductance, nominalSegmentOffset, nominalSegmentSlope, nominalSheetOffset,
  nominalSheetSlope, nominalSheetThermal, segmentConductance, segmentOffset, segmentSlope, sheetOffset, sheetSlope,
  sheetThermal, slotCount,
} from './memory';

/** Resistances, conductances and sheets of conductors with `factor` times the nominal area; joints stay as they are. */
export function setArea(factor: f64): void {
  const more = both(factor);
  const less = both(1 / factor);
  for (let i = 0; i < slotCount; i++) {
    setPair(segmentOffset, i, plus(times(less, pair(nominalSegmentOffset, i)), pair(jointResistance, i)));
    setPair(segmentSlope, i, times(less, pair(nominalSegmentSlope, i)));
    setPair(segmentConductance, i, times(more, pair(nominalSegmentConductance, i)));
    setPair(sheetOffset, i, times(less, pair(nominalSheetOffset, i)));
    setPair(sheetSlope, i, times(less, pair(nominalSheetSlope, i)));
    setPair(sheetThermal, i, times(less, pair(nominalSheetThermal, i)));
  }
}
