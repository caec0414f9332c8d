import type { CopperFile } from '../schema/copperSchema.js';
import type { Study } from '../studyModel.js';
import { describeValue, type ProblemLog } from '../text/problemLog.js';
import { listWords, suggestion } from '../text/spelling.js';
import { fromMm } from '../text/units.js';
import type { BalanceData, FloorPlace } from './copperModel.js';

type BalanceFile = NonNullable<CopperFile['balance']>;

/** Data of a tipping angle in SI; feet that stand crosswise or beside the base, and unknown units, go to the log. */
export function readBalance(file: BalanceFile, study: Study | null, log: ProblemLog): BalanceData {
  logFeet(file, log);
  const elsewhere = file.unitsElsewhere;
  const ids = study === null ? null : [...study.catalogue.sources, ...study.catalogue.loads].map(({ id }) => id);
  elsewhere.forEach(({ equipment }, index) => {
    const path = `balance.unitsElsewhere[${index}].equipment`;
    if (ids !== null && !ids.includes(equipment)) {
      log.add(path, describeValue(equipment), `${suggestion(equipment, ids)}give one of ${listWords(ids)}, of the catalogue`);
    } else if (elsewhere.findIndex((other) => other.equipment === equipment) < index) {
      log.add(path, `${describeValue(equipment)} a second time`, 'give each type of unit once');
    }
  });
  const { rack, base, feet } = file;
  return {
    rack: { ...placeOf(rack), mass: rack.massKg, centreHeight: fromMm(rack.centreHeightMm) },
    base: { depth: fromMm(base.frontToRearMm), width: fromMm(base.leftToRightMm) },
    feet: {
      front: fromMm(feet.frontMm), rear: fromMm(feet.rearMm), left: fromMm(feet.leftMm), right: fromMm(feet.rightMm),
    },
    firstSlotHeight: fromMm(file.firstSlotHeightMm),
    bar: placeOf(file.bar),
    units: placeOf(file.units),
    unitsElsewhere: new Map(elsewhere.map((one) => [one.equipment, placeOf(one)])),
  };
}

function logFeet({ base, feet }: BalanceFile, log: ProblemLog): void {
  const sides = [
    ['frontMm', 'rearMm', feet.frontMm, feet.rearMm, base.frontToRearMm, 'depth'],
    ['leftMm', 'rightMm', feet.leftMm, feet.rightMm, base.leftToRightMm, 'width'],
  ] as const;
  for (const [low, high, from, to, size, word] of sides) {
    if (from < 0) log.add(`balance.feet.${low}`, String(from), `give at least 0: feet stand within the ${word} of the base`);
    if (to <= from) log.add(`balance.feet.${high}`, String(to), `give more than "${low}" (${from})`);
    else if (to > size) {
      log.add(`balance.feet.${high}`, String(to), `give at most ${size}, the ${word} of the base, or correct that`);
    }
  }
}

function placeOf({ fromFrontMm, fromLeftMm }: { fromFrontMm: number; fromLeftMm: number }): FloorPlace {
  return { fromFront: fromMm(fromFrontMm), fromLeft: fromMm(fromLeftMm) };
}
