/** Answers as data frames, units in the column names. The frame library is handed in, as in scenarioFrame. */
import type { LabelDocument } from '../label/index.js';
import { describeState, LIMIT_WORDS, type LadderSolution } from '../ladder/index.js';
import { ZERO_CELSIUS } from '../rack/index.js';
import type { Summary } from '../study/index.js';

type Cell = number | string | null;

/** Columns by name, all of one length. */
export type FrameColumns = Record<string, Cell[]>;

/** What a data frame library must offer: danfo.js does (`import * as danfo from 'danfojs-node'`). */
export interface AnyFrameLibrary<Frame> {
  readonly DataFrame: new (columns: FrameColumns) => Frame;
}

/** Percentiles of rated power with their intervals, one row each. */
export function percentileFrame<Frame>(library: AnyFrameLibrary<Frame>, { percentiles }: Summary): Frame {
  return frameOf(library, percentiles.map((row) => ({
    fallBelowPercent: row.percent, carryMorePercent: tidy(100 - row.percent), ratedKw: row.ratedKw, fromKw: row.lowerKw,
    toKw: row.upperKw, confidencePercent: row.coveragePercent, method: row.method,
  })));
}

/** Which limit binds how often. */
export function limitFrame<Frame>(library: AnyFrameLibrary<Frame>, { limits }: Summary): Frame {
  return frameOf(library, limits.map((row) => ({
    limit: LIMIT_WORDS[row.limit], scenarios: row.count, sharePercent: row.sharePercent, fromPercent: row.lowerPercent,
    toPercent: row.upperPercent,
  })));
}

/** Rated power by class of placement. */
export function classFrame<Frame>(library: AnyFrameLibrary<Frame>, { classes }: Summary): Frame {
  return frameOf(library, classes.map((row) => ({
    placementClass: row.placementClass, scenarios: row.count, sharePercent: row.sharePercent, lowestKw: row.lowestKw,
    medianKw: row.medianKw, highestKw: row.highestKw,
  })));
}

/** The lowest placements of the sample. */
export function worstFrame<Frame>(library: AnyFrameLibrary<Frame>, { worst }: Summary): Frame {
  return frameOf(library, worst.map((row) => ({
    scenario: row.index, ratedKw: row.ratedKw, limit: LIMIT_WORDS[row.limit], slot: row.slot, pole: row.pole,
    state: describeState({ rule: row.state, outSlot: row.outSlot }), placement: row.picture,
  })));
}

/** Temperatures and current slot by slot; the current is that from a slot to the next above, on the supply pole. */
export function slotFrame<Frame>(library: AnyFrameLibrary<Frame>, solution: LadderSolution): Frame {
  const { air, supplyHottest, returnHottest, segmentCurrent } = solution;
  return frameOf(library, Array.from(air, (kelvin, i) => ({
    slot: i + 1, airC: tidy(kelvin - ZERO_CELSIUS), supplyC: tidy(supplyHottest[i] - ZERO_CELSIUS),
    returnC: tidy(returnHottest[i] - ZERO_CELSIUS), currentUpA: i < segmentCurrent.length ? tidy(segmentCurrent[i]) : null,
  })));
}

/** Candidate labels with what speaks for and against each. */
export function labelFrame<Frame>(library: AnyFrameLibrary<Frame>, { labels }: Pick<LabelDocument, 'labels'>): Frame {
  return frameOf(library, labels.map((row) => ({
    labelKw: row.labelKw, carryItPercent: row.carryingPercent, failAtMostPercent: row.notCarryingUpperPercent,
    verdict: row.verdict,
    mostOftenBinding: row.mostOftenBinding === null ? null : LIMIT_WORDS[row.mostOftenBinding.limit],
    worstFoundWouldExceed: row.worstFoundExcess === null ? null : row.worstFoundExcess.words,
  })));
}

/** What each rule buys; floors rounded down to 0.1 kW. */
export function ruleFrame<Frame>(library: AnyFrameLibrary<Frame>, { rules }: Pick<LabelDocument, 'rules'>): Frame {
  return frameOf(library, rules.map((row) => ({
    name: row.name, floorKw: row.floorKw === null ? null : Math.floor(row.floorKw * 10) / 10, worstFoundKw: row.worstFoundKw,
    gapPercent: row.gapPercent,
    ...Object.fromEntries(row.percentiles.map(({ percent, ratedKw }) => [`p${percent}Kw`, ratedKw])),
    labelKw: row.labelKw, buysKw: row.buysLabelKw,
  })));
}

/** Rows of the same keys as a data frame. */
export function frameOf<Frame>(library: AnyFrameLibrary<Frame>, rows: readonly Readonly<Record<string, Cell>>[]): Frame {
  const names = rows.length === 0 ? [] : Object.keys(rows[0]);
  return new library.DataFrame(Object.fromEntries(names.map((name) => [name, rows.map((row) => row[name])])));
}

/** Nine digits: what rounding of units leaves behind is not shown. */
function tidy(value: number): number {
  return Number(value.toPrecision(9));
}
