/**
 * The factors whose parts of the variance are told apart. Sobol indices ask for independent factors:
 * - A placement is one factor: its random numbers are drawn together and make sense only together.
 * - Numbers of contacts and sharing weights are drawn without looking at the placement, from streams of their own. Which
 *   unit takes which number depends on the placement, but the numbers are independent of it, so that the factors are,
 *   exactly.
 * - Quantities tied by rank correlations are one factor, named after all of them.
 */
import { SCENARIO_QUANTITIES, type ScenarioQuantity, type Study } from '../../rack/studyModel.js';
import { isScenarioQuantity, TOLERANCE_WORDS, type Tolerance, type ToleranceName } from './tolerances.js';

export interface Factor {
  /** `placement`, or the tolerances in it joined by `+`. */
  readonly name: string;
  readonly words: string;
  /** Empty for the placement. */
  readonly tolerances: readonly ToleranceName[];
}

export const PLACEMENT: Factor = { name: 'placement', words: 'placement', tolerances: [] };

/** Placement first, then contacts and sharing, then groups of quantities with one value per scenario. */
export function factorsOf(study: Study, tolerances: readonly Tolerance[]): Factor[] {
  const own = tolerances.filter(({ name }) => !isScenarioQuantity(name)).map(({ name }) => [name]);
  const groups = tiedQuantities(study, tolerances.map(({ name }) => name).filter(isScenarioQuantity));
  return [
    PLACEMENT,
    ...[...own, ...groups].map(
      (names): Factor => ({
        name: names.join('+'),
        words: names.map((name) => TOLERANCE_WORDS[name]).join(' with '),
        tolerances: names,
      }),
    ),
  ];
}

/** Groups of quantities that correlations tie, directly or through others. */
function tiedQuantities({ correlations }: Study, varying: readonly ScenarioQuantity[]): ScenarioQuantity[][] {
  const group = new Map<ScenarioQuantity, ScenarioQuantity>(varying.map((name) => [name, name]));
  for (const { between, rank } of correlations) {
    const [one, other] = between;
    const [kept, merged] = [group.get(one), group.get(other)];
    if (rank === 0 || kept === undefined || merged === undefined) continue;
    for (const [name, of] of group) if (of === merged) group.set(name, kept);
  }
  return SCENARIO_QUANTITIES.map((lead) => varying.filter((name) => group.get(name) === lead)).filter(
    (names) => names.length > 0,
  );
}
