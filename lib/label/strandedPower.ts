import { PLACEMENT_CLASSES, type PlacementClass } from '../study/placementClass.js';
import type { Floor } from '../worst/answers.js';
import { basisWords, type LabelBasis } from './labelBasis.js';
import type { LabelSample } from './labelSample.js';
import type { LabelTable } from './labelTable.js';
import { recommendLabel } from './recommendLabel.js';
import { roundDown } from './roundDown.js';
import { countOfScenarios, labelKilowatts } from './words.js';
import { worstMet } from './worstMet.js';

export interface StrandedInput {
  readonly table: Pick<LabelTable, 'sample' | 'step' | 'floor' | 'worst'>;
  readonly basis: LabelBasis;
  /** Floors proven for the placements of one class alone; used on the basis every-placement. */
  readonly classFloors?: Readonly<Partial<Record<PlacementClass, Floor>>>;
}

/** One class of placement. Powers in W. */
export interface StrandedRow {
  readonly placementClass: PlacementClass;
  readonly count: number;
  /** Of all scenarios, 0..1. */
  readonly share: number;
  /** Scenarios of the class that carry the one label. */
  readonly carryingOneLabel: number;
  /** Mean of rated power − one label over those; null where none carries it. */
  readonly meanUnused: number | null;
  /** What this class could be labelled with on the same basis; null where nothing can be said, see `reason`. */
  readonly label: number | null;
  readonly reason: string | null;
  /** label − one label; below 0 where the class carries less than the mix of all. null without a label. */
  readonly freed: number | null;
}

/** What one label for all placements leaves unused. Powers in W, means over scenarios. */
export interface StrandedPower {
  readonly basis: LabelBasis;
  /** null where the basis gives none: nothing else is then known either. */
  readonly oneLabel: number | null;
  readonly scenarios: number;
  readonly carryingOneLabel: number;
  /** Mean of rated power − label over the scenarios that carry it. */
  readonly meanUnused: number | null;
  /** Classes in the order of PLACEMENT_CLASSES; those that no rated scenario belongs to have no row. */
  readonly rows: readonly StrandedRow[];
  /** Mean over all scenarios of their class's label − one label; classes without a label of their own keep the one. */
  readonly meanFreedByClassLabels: number | null;
  /** Mean over all scenarios of their own rated power, rounded down, − one label: the upper end of what is freed. */
  readonly meanFreedByOwnLabels: number | null;
  readonly words: string;
}

/**
 * Power that one label strands, and what a label per class of placement, or per placement, would free.
 *
 * Class labels stand on the same basis within their class, each on its own scenarios; a class may have too few of them.
 * On every-placement a class takes the higher of its own floor and the one of all placements.
 *
 * @throws RangeError as recommendLabel
 */
export function strandedPower({ table, basis, classFloors = {} }: StrandedInput): StrandedPower {
  const { sample, step } = table;
  const one = recommendLabel(table, basis);
  const scenarios = sample.ratedPower.length;
  const oneLabel = one.label;
  if (oneLabel === null) {
    return {
      basis, oneLabel, scenarios, carryingOneLabel: 0, meanUnused: null, rows: [], meanFreedByClassLabels: null,
      meanFreedByOwnLabels: null, words: one.words,
    };
  }
  const powers = sample.ratedPower;
  const rows = PLACEMENT_CLASSES.flatMap((placementClass) => {
    const part = partOf(sample, placementClass);
    return part.ratedPower.length === 0 ? [] : [classRow(part, placementClass, oneLabel)];
  });

  function classRow(part: LabelSample, placementClass: PlacementClass, label: number): StrandedRow {
    const partPowers = part.ratedPower;
    const own = classLabel(part, placementClass);
    return {
      placementClass,
      count: partPowers.length,
      share: partPowers.length / scenarios,
      carryingOneLabel: countCarrying(partPowers, label),
      meanUnused: meanUnused(partPowers, label),
      label: own.label,
      reason: own.reason,
      freed: own.label === null ? null : own.label - label,
    };
  }

  function classLabel(part: LabelSample, placementClass: PlacementClass): Pick<StrandedRow, 'label' | 'reason'> {
    const floor = classFloors[placementClass] ?? null;
    if (basis.kind === 'every-placement' && floor === null) {
      return { label: null, reason: 'no floor is proven for this class alone; it keeps the label of all' };
    }
    const higher = floor !== null && table.floor !== null && table.floor.power > floor.power ? table.floor : floor;
    return recommendLabel({ sample: part, step, floor: higher, worst: worstMet(part, null) }, basis);
  }

  const freedByClass = rows.reduce((sum, { freed, count }) => sum + (freed ?? 0) * count, 0) / scenarios;
  const freedByOwn = meanOver(powers, (power) => roundDown(power, step) - oneLabel);
  const carrying = countCarrying(powers, oneLabel);
  const unused = meanUnused(powers, oneLabel);
  const unusedWords = unused === null ? '' : `, which leave ${tenths(unused)} unused on average`;
  return {
    basis, oneLabel, scenarios, carryingOneLabel: carrying, meanUnused: unused, rows,
    meanFreedByClassLabels: freedByClass,
    meanFreedByOwnLabels: freedByOwn,
    words: `One label of ${labelKilowatts(oneLabel)} for all (basis: ${basisWords(basis)}) is carried by `
      + `${countOfScenarios(carrying, scenarios)}${unusedWords}. `
      + `${classWords(rows, freedByClass)}, a label per placement by ${signed(freedByOwn)}.`,
  };
}

function partOf(sample: LabelSample, placementClass: PlacementClass): LabelSample {
  const indices: number[] = [];
  for (let i = 0; i < sample.placementClass.length; i++) if (sample.placementClass[i] === placementClass) indices.push(i);
  return {
    ...sample,
    ratedPower: Float64Array.from(indices, (i) => sample.ratedPower[i]),
    limit: indices.map((i) => sample.limit[i]),
    placementClass: indices.map((i) => sample.placementClass[i]),
  };
}

function countCarrying(powers: ArrayLike<number>, label: number): number {
  let count = 0;
  for (let i = 0; i < powers.length; i++) if (powers[i] >= label) count++;
  return count;
}

function meanUnused(powers: ArrayLike<number>, label: number): number | null {
  const carrying = countCarrying(powers, label);
  if (carrying === 0) return null;
  return (meanOver(powers, (power) => Math.max(0, power - label)) * powers.length) / carrying;
}

function meanOver(powers: ArrayLike<number>, of: (power: number) => number): number {
  let sum = 0;
  for (let i = 0; i < powers.length; i++) sum += of(powers[i]);
  return sum / powers.length;
}

function classWords(rows: readonly StrandedRow[], freed: number): string {
  return rows.every(({ label }) => label === null)
    ? 'No label per class of placement is given, as no class has a floor proven for it alone: a label per class would '
      + 'change nothing'
    : `A label per class of placement changes the label by ${signed(freed)} on average`;
}

function signed(power: number): string {
  const size = tenths(Math.abs(power));
  return size === tenths(0) ? size : `${power < 0 ? '−' : '+'}${size}`;
}

/** @param power W */
function tenths(power: number): string {
  return `${(power / 1000).toFixed(1)} kW`;
}
