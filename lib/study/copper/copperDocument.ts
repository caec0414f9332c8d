/** Content of copper.json: every number with its unit in the key. */
import type { CopperRequest, StudyInput } from '../../rack/index.js';
import { describeProblem } from '../../rack/index.js';
import { LIBRARY_VERSION } from '../version.js';
import type { CopperDesigns } from './copperDesigns.js';
import type { CopperAnswer, DesignAnswer } from './copperStudy.js';
import { barMass, barPrice } from './barMass.js';
import type { LeastCopper, LeastTrial } from './leastCopper.js';

export const COPPER_RESULT_FORMAT = 'slotcast-copper-result/1';

export interface CopperContext {
  readonly request: CopperRequest;
  readonly inputs: readonly StudyInput[];
  readonly designs: CopperDesigns;
  readonly answer: CopperAnswer;
  readonly least: LeastCopper | null;
  /** As typed; null where the study was made from code. */
  readonly command: string | null;
}

export type CopperDocument = ReturnType<typeof copperDocument>;
export type CopperRow = CopperDocument['designs'][number];

/** The answers as plain data, designs by mass. Sources, units and scenarios are the base study's throughout. */
export function copperDocument({ request, inputs, designs, answer, least, command }: CopperContext) {
  const { study, scenarios, percentile, load, front } = answer;
  const marks = marksOf(answer);
  const rows = answer.designs.map((design, k) => row(design, marks.get(design) ?? null, k === 0));
  return {
    format: COPPER_RESULT_FORMAT,
    library: { name: 'slotcast', version: LIBRARY_VERSION, node: process.version },
    name: request.name,
    study: { name: study.name, seed: study.seed, scenarios, confidencePercent: tidy(100 * study.confidence) },
    rack: { name: study.rack.name, slotCount: study.rack.slotCount },
    inputs,
    command,
    percentilePercent: tidy(100 * percentile),
    loadKw: kw(load),
    loadState: study.rack.operatingStates[0],
    currency: request.currency,
    floor: request.floor === null ? null
      : { secondsPerDesign: request.floor.seconds, coverPercent: request.floor.coverPercent },
    varianceRuns: request.varianceRuns,
    front,
    designs: [...rows].sort((a, b) => a.copperKg - b.copperKg),
    sameAsBase: designs.sameAsBase,
    impossible: designs.impossible.map(({ name, problems }) => ({ name, reasons: problems.map(describeProblem) })),
    least: least === null ? null : leastRow(least, request.prices),
  };
}

/** `A`, `B`, … for the designs on the front from the cheapest on, the base left out; none where letters run out. */
function marksOf({ designs, front }: CopperAnswer): Map<DesignAnswer, string> {
  const cost = ({ price, bar }: DesignAnswer) => (front.cost === 'price' && price !== null ? price : bar.mass);
  const best = designs.filter(({ onFront }, k) => onFront && k > 0).sort((a, b) => cost(a) - cost(b));
  return new Map(best.length > 26 ? [] : best.map((design, k) => [design, String.fromCharCode(65 + k)]));
}

function row(design: DesignAnswer, mark: string | null, isBase: boolean) {
  const { percentile, difference, variance, floor, drop, heat, tipping } = design;
  return {
    name: design.name,
    isBase,
    mark,
    copperKg: tidy(design.bar.mass),
    centreHeightMm: mm(design.bar.centreHeight),
    kgByMaterial: Object.fromEntries([...design.bar.byMaterial].map(([id, mass]) => [id, tidy(mass)])),
    price: design.price === null ? null : tidy(design.price),
    ratedKw: kw(percentile.power),
    lowerKw: orNull(percentile.lower, kw),
    upperKw: orNull(percentile.upper, kw),
    method: percentile.method,
    differenceKw: difference === null ? null : kw(difference.difference),
    differenceLowerKw: difference === null ? null : kw(difference.lower),
    differenceUpperKw: difference === null ? null : kw(difference.upper),
    varianceReduction: variance === null ? null : orNull(variance.factor, tidy),
    varianceCommonKw2: variance === null ? null : tidy(variance.common / 1e6),
    varianceIndependentKw2: variance === null ? null : tidy(variance.independent / 1e6),
    floorKw: floor === null ? null : Math.floor(floor.power) / 1e3,
    floorSettled: floor === null ? null : floor.settled,
    dropHighMv: drop === null ? null : tidy(1e3 * drop.high),
    dropLargestMv: drop === null ? null : tidy(1e3 * drop.largest),
    barHeatW: heat === null ? null : tidy(heat.bar),
    heatW: heat === null ? null : tidy(heat.all),
    unsolvedAtLoad: design.unsolved,
    notRated: design.notRated,
    failed: design.failed,
    onFront: design.onFront,
    tipping: tipping === null ? null : {
      angleDegrees: tidy((180 / Math.PI) * tipping.angle), side: tipping.side, scenario: tipping.index,
      massKg: tidy(tipping.centre.mass), centreHeightMm: mm(tipping.centre.height),
      fromFrontMm: mm(tipping.centre.fromFront), fromLeftMm: mm(tipping.centre.fromLeft),
    },
  };
}

function leastRow({ request, outcome, answer, looks, rising, trials }: LeastCopper, prices: CopperRequest['prices']) {
  const isScale = request.vary === 'scale';
  const bar = answer === null ? null : barMass(answer.rack);
  const price = bar === null ? null : barPrice(bar, prices);
  const value = (at: number) => ({ valueMm: isScale ? null : mm(at), factor: isScale ? tidy(at) : null });
  const trial = ({ at, power }: LeastTrial) => ({ ...value(at), ratedKw: kw(power) });
  // Up, to the micrometre or the millionth: a number that is read off must carry what was wanted.
  const up = (at: number) => Math.ceil(at * 1e6 * (1 - 1e-12)) / 1e6;
  return {
    wantedKw: kw(request.wanted), basis: request.basis, vary: request.vary, poles: request.poles,
    toleranceMm: mm(request.tolerance), outcome, rising, trials,
    from: trial(looks[0]), to: trial(looks[looks.length - 1]), looks: looks.map(trial),
    answer: answer === null || bar === null ? null : {
      ...value(up(answer.at)), ratedKw: kw(answer.power),
      lowerKw: orNull(answer.lower, kw), upperKw: orNull(answer.upper, kw), copperKg: tidy(bar.mass), price: orNull(price, tidy),
    },
  };
}

function orNull(value: number | null, convert: (value: number) => number): number | null {
  return value === null ? null : convert(value);
}

/** kW to the milliwatt. */
function kw(watts: number): number {
  return Math.round(watts * 1e3) / 1e6;
}

function mm(metres: number): number {
  return tidy(metres * 1e3);
}

function tidy(value: number): number {
  return Number(value.toPrecision(9));
}
