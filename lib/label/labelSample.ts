import { LIMIT_NAMES, type LimitName } from '../ladder/index.js';
import type { Sampling } from '../rack/studyModel.js';
import { plannedLooks } from '../statistics/index.js';
import { RATED } from '../study/scenarioTable.js';
import type { StudyRun } from '../study/index.js';
import { PLACEMENT_CLASSES, type PlacementClass } from '../study/placementClass.js';
import { type PowersInOrder, powersInOrder } from '../study/powersInOrder.js';
import { keepAscending } from './ascendingPowers.js';

/** What a label decision needs to know of a study's scenarios, in the order drawn. */
export interface LabelSample {
  /** W, `[scenario]`; 0 where nothing is carried or the scenario could not be rated. Sorted once, may be the run's own: not to be changed. */
  readonly ratedPower: ArrayLike<number>;
  /** What binds, `[scenario]`; null where the scenario could not be rated. */
  readonly limit: readonly (LimitName | null)[];
  /** `[scenario]`; null where the scenario could not be rated. */
  readonly placementClass: readonly (PlacementClass | null)[];
  readonly sampling: Sampling;
  /** Confidence of every bound, 0..1, as the study asks for it. */
  readonly confidence: number;
  /** Looks that the stopping rule planned, over which the confidence is shared; 1 without a stopping rule. */
  readonly looks: number;
}

/** The part of a study's run that a label decision needs; scenarios that could not be rated carry nothing. */
export function labelSample(
  run: Pick<StudyRun, 'study' | 'table' | 'scenarios'>, { rows, powers }: PowersInOrder = powersInOrder(run),
): LabelSample {
  const { study, table, scenarios } = run;
  const { columns } = table;
  const isRated = (i: number) => columns.rated[i] === RATED;
  const perScenario = <Value>(valueAt: (i: number) => Value): (Value | null)[] => {
    // Of its full length from the start: lists that grow leave as much again behind.
    const values = new Array<Value | null>(scenarios);
    for (let i = 0; i < scenarios; i++) values[i] = isRated(i) ? valueAt(i) : null;
    return values;
  };
  // The table's own numbers where all are: a million more would lie beside them.
  let ratedPower = columns.ratedPower.subarray(0, scenarios);
  if (rows.length === scenarios) keepAscending(ratedPower, { order: rows, powers });
  else ratedPower = ratedPower.map((power, i) => (isRated(i) ? power : 0));
  return {
    ratedPower,
    limit: perScenario((i) => LIMIT_NAMES[columns.limit[i]]),
    placementClass: perScenario((i) => PLACEMENT_CLASSES[columns.placementClass[i]]),
    sampling: study.sampling,
    confidence: study.confidence,
    looks: study.stopping === null ? 1 : plannedLooks(study.scenarios, study.stopping.lookEvery),
  };
}
