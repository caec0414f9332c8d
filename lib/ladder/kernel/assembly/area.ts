// The conductors of a scenario: those of the rack file with another area.

import { both, pair, plus, setPair, times } from './lanes';
import {
  jointResistance, nominalSegmentConductance, nominalSegmentOffset, nominalSegmentSlope, nominalSheetOffset,
  nominalSheetSlope, nominalSheetThermal, segmentConductance, segmentOffset, segmentSlope, sheetOffset, sheetSlope,
  sheetThermal, slotCount,
} from './memory';

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
  for (let i = 0; i < slotCount; i++) {
    setPair(segmentOffsets, i, plus(times(less, pair(nominalSegmentOffsets, i)), pair(jointResistances, i)));
    setPair(segmentSlopes, i, times(less, pair(nominalSegmentSlopes, i)));
    setPair(segmentConductances, i, times(more, pair(nominalSegmentConductances, i)));
    setPair(sheetOffsets, i, times(less, pair(nominalSheetOffsets, i)));
    setPair(sheetSlopes, i, times(less, pair(nominalSheetSlopes, i)));
    setPair(sheetThermals, i, times(less, pair(nominalSheetThermals, i)));
  }
}
