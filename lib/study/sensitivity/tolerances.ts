/** The uncertain quantities of a study as tolerances that one may tighten: how they are shifted, narrowed and fixed. */
import { distributionQuantile, type Scenario } from '../../draw/index.js';
import { type Distribution, SCENARIO_QUANTITIES, type ScenarioQuantity, type Study } from '../../rack/studyModel.js';

export const TOLERANCE_NAMES = ['loadContact', 'sourceContact', 'sharingWeight', ...SCENARIO_QUANTITIES] as const;
export type ToleranceName = (typeof TOLERANCE_NAMES)[number];

/** What people call them. */
export const TOLERANCE_WORDS: Readonly<Record<ToleranceName, string>> = {
  loadContact: 'contacts of loads',
  sourceContact: 'contacts of sources',
  sharingWeight: 'sharing between sources',
  contactFactor: 'factor on all contacts',
  filmFactor: 'film factor',
  emissivity: 'emissivity',
  areaFactor: 'conductor area',
  inlet: 'inlet air',
};

/** By how much a shift moves a quantity, in people's units. */
export const SHIFT_UNITS = ['1 µΩ', '1 %', '0.01', '1 K'] as const;
export type ShiftUnit = (typeof SHIFT_UNITS)[number];

type Change = (value: number) => number;

/** A small shift of every value, down and up; between the two lie `units` of `unit`. */
export interface Shift {
  readonly unit: ShiftUnit;
  readonly down: Change;
  readonly up: Change;
  readonly units: number;
}

export interface Tolerance {
  readonly name: ToleranceName;
  readonly words: string;
  /** SI: Ω, K, or a plain number. */
  readonly median: number;
  /** null for sharing weights, of which only the ratios count. */
  readonly shift: Shift | null;
}

/** The quantities that vary, in the order of TOLERANCE_NAMES. */
export function tolerancesOf({ uncertain }: Study): Tolerance[] {
  return TOLERANCE_NAMES.flatMap((name): Tolerance[] => {
    const given = isScenarioQuantity(name) ? uncertain.perScenario[name] : uncertain[name];
    return given === undefined || given === null ? [] : toleranceOf(name, given);
  });
}

export function isScenarioQuantity(name: ToleranceName): name is ScenarioQuantity {
  return (SCENARIO_QUANTITIES as readonly string[]).includes(name);
}

function toleranceOf(name: ToleranceName, given: Distribution): Tolerance[] {
  const quantile = distributionQuantile(given, `uncertain.${name}`);
  const [low, high] = [quantile(2 ** -53), quantile(1 - 2 ** -53)];
  if (!(low < high)) return [];
  const median = quantile(0.5);
  return [{ name, words: TOLERANCE_WORDS[name], median, shift: shiftOf(name, low, high, median) }];
}

/** Steps of a hundredth or less, centred where both sides are possible values. */
function shiftOf(name: ToleranceName, low: number, high: number, median: number): Shift | null {
  switch (name) {
    case 'sharingWeight':
      return null;
    case 'loadContact':
    case 'sourceContact':
      return added('1 µΩ', 1e-6, 0.01 * median, low, high, { from: 0, to: Number.POSITIVE_INFINITY });
    case 'emissivity':
      return added('0.01', 0.01, 0.005, low, high, { from: 0, to: 1 });
    case 'inlet':
      return added('1 K', 1, 0.5, low, high, { from: 0, to: Number.POSITIVE_INFINITY });
    case 'contactFactor':
    case 'filmFactor':
    case 'areaFactor':
      return { unit: '1 %', down: (value) => value * 0.995, up: (value) => value * 1.005, units: 1 };
  }
}

function added(
  unit: ShiftUnit,
  one: number,
  step: number,
  low: number,
  high: number,
  possible: { readonly from: number; readonly to: number },
): Shift | null {
  const down = low - step >= possible.from ? step : 0;
  const up = high + step <= possible.to ? step : 0;
  if (!(down + up > 0)) return null;
  return { unit, down: (value) => value - down, up: (value) => value + up, units: (down + up) / one };
}

/** Every value half as far from the median. */
export function halved({ median }: Tolerance): Change {
  return (value) => median + (value - median) / 2;
}

/** Every value at the median. */
export function removed({ median }: Tolerance): Change {
  return () => median;
}

/** The scenario with one of its drawn quantities changed, all its values alike. */
export function withChange(scenario: Scenario, name: ToleranceName, change: Change): Scenario {
  if (isScenarioQuantity(name)) {
    const drawn = scenario.build[name];
    return drawn === null ? scenario : { ...scenario, build: { ...scenario.build, [name]: change(drawn) } };
  }
  const isOfSource = name !== 'loadContact';
  const units = scenario.units.map((unit) => {
    if ((unit.kind !== 'load') !== isOfSource) return unit;
    if (name === 'sharingWeight') return { ...unit, sharingWeight: change(unit.sharingWeight) };
    const [supply, back] = unit.contactResistance;
    return { ...unit, contactResistance: [change(supply), change(back)] as const };
  });
  return { ...scenario, units };
}
