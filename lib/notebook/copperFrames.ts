/** Bars of a copper study as data frames, by mass. The frame library is handed in, as in scenarioFrame. */
import type { CopperDocument } from '../study/index.js';
import { type AnyFrameLibrary, frameOf } from './frames.js';

type Designs = Pick<CopperDocument, 'designs'>;

/** The letter of a bar on the front, or `base`; every other bar has none. */
const markOf = ({ isBase, onFront, mark }: CopperDocument['designs'][number]) => (isBase ? 'base' : onFront ? (mark ?? '*') : '');

/**
 * What each bar weighs, costs and carries, and what that gains over the base on the same scenarios. Prices are in the
 * document's currency; floors, where some were proven, are rounded down to 0.1 kW.
 */
export function copperFrame<Frame>(library: AnyFrameLibrary<Frame>, { designs }: Designs): Frame {
  const hasFloor = designs.some(({ floorKw }) => floorKw !== null);
  return frameOf(library, designs.map((row) => ({
    front: markOf(row), bar: row.name, massKg: row.copperKg, price: row.price === null ? null : Math.round(row.price),
    ratedKw: row.ratedKw, fromKw: row.lowerKw, toKw: row.upperKw, gainKw: row.differenceKw,
    gainFromKw: row.differenceLowerKw, gainToKw: row.differenceUpperKw,
    ...(hasFloor ? { floorKw: row.floorKw === null ? null : Math.floor(row.floorKw * 10) / 10 } : {}),
  })));
}

/**
 * What each bar drops and heats at the document's load; scenarios without a solution there, where there are any; and the
 * angle at which the rack tips, where its data were given.
 */
export function copperLoadFrame<Frame>(library: AnyFrameLibrary<Frame>, { designs }: Designs): Frame {
  const isUnsolved = designs.some(({ unsolvedAtLoad }) => unsolvedAtLoad > 0);
  const hasTipping = designs.some(({ tipping }) => tipping !== null);
  return frameOf(library, designs.map((row) => ({
    front: markOf(row), bar: row.name, highDropMv: whole(row.dropHighMv), largestDropMv: whole(row.dropLargestMv),
    barHeatW: whole(row.barHeatW), allHeatW: whole(row.heatW), ...(isUnsolved ? { unsolvedScenarios: row.unsolvedAtLoad } : {}),
    ...(hasTipping ? { tipsAtDegrees: row.tipping === null ? null : row.tipping.angleDegrees } : {}),
  })));
}

function whole(value: number | null): number | null {
  return value === null ? null : Math.round(value);
}
