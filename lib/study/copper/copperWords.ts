/** Sentences of a copper study, the same on the screen and on the page. */
import type { CopperDocument, CopperRow } from './copperDocument.js';

const one = (value: number) => value.toFixed(1);
const twoDigits = (value: number) => String(Number(value.toPrecision(2)));
const level = (value: number) => String(Number(value.toPrecision(9)));

/** The dimension in words. */
const DIMENSION = { depth: 'plate depth', thickness: 'plate thickness', scale: 'factor on depth and thickness' } as const;

const FLOOR_TIME = 'A floor that is not proven in the seconds given counts as not carried: more of them may prove more. Whether '
  + 'one power is carried is proven sooner than how much is, so that a floor in the table may still lie lower.';

/** The state in which drop and heat are told: the first of the rack file. */
const LOAD_STATE: Readonly<Record<CopperDocument['loadState'], string>> = {
  'all-in-service': 'all in service', 'one-source-out': 'the lowest power shelf out', 'batteries-alone': 'batteries alone',
};

/** A value of the dimension with its unit. */
function at({ factor, valueMm }: { readonly factor: number | null; readonly valueMm: number | null }): string {
  return factor === null ? `${level(Number((valueMm ?? 0).toFixed(3)))} mm` : level(Number(factor.toFixed(6)));
}

type Least = NonNullable<CopperDocument['least']>;

/** What the least copper is, or why there is none; and whether more copper carried more throughout. */
export function leastWords(least: Least, currency: string | null, percentilePercent: number): string[] {
  const { wantedKw, basis, vary, poles, outcome, rising, answer, from, to, toleranceMm } = least;
  const what = `${level(wantedKw)} kW ${basis === 'floor' ? 'proven for every allowed placement'
    : `at the ${level(percentilePercent)} % percentile`}`;
  const where = poles === 'both' ? '' : ` of the ${poles} pole`;
  const carried = (trial: { ratedKw: number }) => (basis === 'floor' ? '' : ` (${one(trial.ratedKw)} kW)`);
  const range = `${DIMENSION[vary]}${where} from ${at(from)} to ${at(to)}`;
  if (outcome === 'none carries') {
    const most = least.looks.reduce((best, look) => (look.ratedKw > best.ratedKw ? look : best));
    const best = basis === 'floor' ? '' : `, which carries ${one(to.ratedKw)} kW`;
    const higher = most === to || basis === 'floor' ? '' : ` The most, ${one(most.ratedKw)} kW, was met at ${at(most)}.`;
    const time = basis === 'floor' ? [FLOOR_TIME] : [];
    return [`No ${range} carries ${what}: not even the largest${best}.${higher}`, ...time, ...risingWords(least)];
  }
  const price = answer === null || answer.price === null || currency === null ? '' : `, ${answer.price.toFixed(0)} ${currency}`;
  const bar = answer === null ? '' : `${answer.copperKg.toFixed(1)} kg${price}`;
  if (outcome === 'smallest carries') {
    return [`The smallest, a ${DIMENSION[vary]}${where} of ${at(from)}${carried(from)}, already carries ${what}: ${bar}.`,
      ...(rising ? [] : risingWords(least))];
  }
  const sample = answer === null || answer.lowerKw === null || answer.upperKw === null ? ''
    : ' By the sample: the percentile of that bar has an interval of its own from '
      + `${one(answer.lowerKw)} to ${one(answer.upperKw)} kW.`;
  const window = outcome === 'window'
    ? [`At the upper end, ${at(to)}, it is no longer carried${carried(to)}: keep within what is shown.`] : [];
  const within = vary === 'scale' ? `${level(toleranceMm)} mm of the deepest plate` : `${level(toleranceMm)} mm`;
  return [
    `Least copper for ${what}: a ${DIMENSION[vary]}${where} of ${answer === null ? '' : at(answer)}, ${bar} `
      + `(to ${within}; ${least.trials} bars rated between ${at(from)} and ${at(to)}).${sample}`,
    ...window, ...(basis === 'floor' ? [FLOOR_TIME] : []), ...risingWords(least),
  ];
}

function risingWords({ rising, looks, basis }: Least): string[] {
  const carriedMore = basis === 'floor' ? 'no less' : 'more';
  if (rising) return [`At each of ${looks.length} values over the range more copper carried ${carriedMore}.`];
  const words = looks.map((look) => `${at(look)}: ${one(look.ratedKw)} kW`).join(', ');
  return [`WARNING: more copper did not always carry more (${words}); there may be further answers between these values.`];
}

function span(values: readonly number[]): string {
  const [least, most] = [twoDigits(Math.min(...values)), twoDigits(Math.max(...values))];
  return least === most ? least : `${least} to ${most}`;
}

/** What the columns mean. */
export function copperNotes(copper: CopperDocument): string[] {
  const { percentilePercent: p, study, loadKw, loadState, front, varianceRuns, designs } = copper;
  const reductions = designs.flatMap(({ varianceReduction: factor }) => (factor === null ? [] : [factor]));
  const hasDifferences = designs.length === 1 || designs.some(({ differenceKw }) => differenceKw !== null);
  const gain = reductions.length === 0 ? ''
    : ` Measured over ${varianceRuns} runs with seeds of their own, the variance of the difference was `
      + `${span(reductions)} times smaller than on scenarios of each design's own.`;
  return [
    `The ${level(p)} % percentile is a low power: ${level(p)} % of scenarios fall below it, the rest carry more.`,
    `All designs were rated on the same ${study.scenarios} scenarios: sources, units, contacts and build are the same in each, `
      + `and only the bar differs. Intervals at ${level(study.confidencePercent)} %; ${hasDifferences
        ? 'those of the difference by bootstrap of whole scenarios, which errs on the wide side.'
        : 'none of the difference to the base: its bootstrap needs ten replicates of the sampling design or more.'}${gain}`,
    `Drop and heat at ${level(loadKw)} kW of load, ${LOAD_STATE[loadState]}: the drop is the mean terminal voltage of the feeding `
      + `sources less the lowest terminal voltage of a load (contacts included), ${level(100 - p)} % percentile and largest of `
      + 'the scenarios; the heat is that of plates, joints and spreading current, mean of the scenarios.',
    'The mass is that of the plates of both poles, without joints. On the front: no other design '
      + `${front.cost === 'price' ? 'costs' : 'weighs'} as little and ${front.worth === 'floor' ? 'has as high a floor'
        : 'carries as much at the percentile'}, by the estimates; letters are those of the chart.`,
  ];
}

/** Designs that say less than they seem to. */
export function copperWarnings(copper: CopperDocument): string[] {
  const { designs, loadKw, impossible, sameAsBase } = copper;
  const of = (rows: readonly CopperRow[]) => rows.map(({ name }) => `"${name}"`).join(', ');
  const [failed, unsolved] = [designs.filter((row) => row.failed), designs.filter((row) => row.unsolvedAtLoad > 0)];
  const metalsOf = ({ kgByMaterial }: CopperRow) => Object.keys(kgByMaterial).sort().join();
  const base = designs.find(({ isBase }) => isBase);
  const metals = designs.filter((row) => base !== undefined && metalsOf(row) !== metalsOf(base));
  const unsettled = designs.filter(({ floorSettled }) => floorSettled === false);
  const leaning = designs.filter(({ tipping }) => tipping !== null && tipping.angleDegrees <= 0);
  return [
    ...(failed.length === 0 ? [] : [`WARNING: ${of(failed)}: more scenarios without a rated power than the study allows; `
      + 'nothing may be made of their powers.']),
    ...unsolved.map(({ name, unsolvedAtLoad }) => `WARNING: "${name}" has no solution at ${level(loadKw)} kW in ${unsolvedAtLoad} `
      + 'scenarios (voltage collapse or no steady state); drop and heat leave them out.'),
    ...(unsettled.length === 0 ? [] : [`WARNING: the floors of ${of(unsettled)} are proven but not settled in the `
      + 'seconds given: more may raise them, so that they do not compare bars; the front goes by the percentile.']),
    ...(metals.length === 0 ? [] : [`Contacts and joints keep the base's resistances in ${of(metals)}, of another `
      + 'material: whether they do is for a measurement to say.']),
    ...(leaning.length === 0 ? [] : [`WARNING: ${of(leaning)}: with some placement the rack does not stand on its feet.`]),
    ...impossible.map(({ name, reasons }) => `"${name}" is impossible: ${reasons.join('; ')}`),
    ...sameAsBase.map((name) => `"${name}" is the base itself and is not shown twice.`),
  ];
}

/** The smallest tipping angle of all designs; null without data for it. */
export function tippingWords({ designs, study }: CopperDocument): string | null {
  const found = designs.flatMap(({ name, tipping }) => (tipping === null ? [] : [{ name, ...tipping }]));
  if (found.length === 0) return null;
  const least = found.reduce((low, row) => (row.angleDegrees < low.angleDegrees ? row : low));
  return `Tipping: of ${study.scenarios} placements the rack with "${least.name}" tips first, at ${least.angleDegrees.toFixed(2)}° `
    + `over its ${least.side} feet, scenario ${least.scenario} (${least.massKg.toFixed(0)} kg, centre `
    + `${least.centreHeightMm.toFixed(0)} mm above the `
    + 'floor). A placement that was not drawn may tip sooner; a rigid rack on a level floor, with nothing pulled out or pushed.';
}
