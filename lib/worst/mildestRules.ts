/** The other way round: the mildest of some families of rules that make a wanted label hold everywhere. */
import { ruleInWords } from '../draw/index.js';
import { ruleBook } from '../draw/ruleBook.js';
import type { Rule, Study } from '../rack/index.js';
import type { Floor } from './answers.js';
import { proveFloor } from './floor.js';
import { sourceHeight } from './loadFamilies.js';
import { whyImpossible, withRules } from './ruleAnswers.js';
import type { ToleranceRanges } from './toleranceRanges.js';

export interface MildestRules {
  /** Empty where the label holds without any; null where none of those tried reaches it. */
  readonly rules: readonly Rule[] | null;
  readonly words: string;
  /** W, floor under the rules, or the best that was reached. */
  readonly floor: number;
}

export interface MildestOptions {
  /** Classes of placements bounded for each rule tried. */
  readonly mostClasses?: number;
  /** s for all of it; no further rule is tried after it. Without it the answer does not depend on the machine. */
  readonly seconds?: number;
  /** W: a floor of the study as it is that is proven already. */
  readonly proven?: number;
  /** ms, of any clock. */
  readonly now: () => number;
}

type OnlyInBand = Extract<Rule, { readonly rule: 'only-in-band' }>;

/**
 * Looks for the mildest rules under which the floor reaches a label, W: first a cap on the power per slot, then the
 * widest band around the middle that the sources keep to (widened at either end as far as it goes), then a cap together
 * with sources in the middle third. The first family that reaches the label gives the answer.
 *
 * Within a family the rules get stricter step by step, and halving finds a step that reaches the label where the one
 * before it does not. A cap below the least that a type of a catalogue draws leaves the type out, and what is mounted
 * instead may be worse: caps are halved between such steps only. Caps under which the slots left by the sources could
 * not draw the label together are not tried, since nobody could use it. The answer's floor is proven for the answer
 * itself. Caps on a band of slots are not tried: the floor knows nothing of them (PROOF.md, section 6).
 *
 * @throws RangeError for a label that is not above 0, and as {@link proveFloor}
 */
export function mildestRules(
  study: Study, ranges: ToleranceRanges, label: number, { mostClasses = 150, seconds, proven = 0, now }: MildestOptions,
): MildestRules {
  if (!(label > 0 && Number.isFinite(label))) {
    throw new RangeError(`label: found ${label} W; a finite power above 0 W is needed`);
  }
  const started = now();
  const left = (): number => (seconds === undefined ? Infinity : Math.max(0, seconds - (now() - started) / 1000));
  let best = proven;
  /** Whether the floor reaches the label; null where the rules leave no placement. */
  const reaches = (rules: readonly Rule[]): boolean | null => {
    if (whyImpossible(study, rules) !== null) return null;
    const time = left();
    const floor: Floor = proveFloor(withRules(study, rules), ranges, {
      below: label, mostClasses, ...(time === Infinity ? {} : { seconds: time }),
    }, now);
    best = Math.max(best, floor.power);
    return floor.power >= label;
  };
  /** The first of ever stricter steps that reaches the label; null where none does, or where none is possible. */
  const mildest = <Step>(steps: readonly Step[], rulesOf: (step: Step) => readonly Rule[]): Step | null => {
    let [low, high] = [-1, steps.length];
    let found: Step | null = null;
    while (high - low > 1 && left() > 0) {
      const middle = Math.floor((low + high) / 2);
      const reached = reaches(rulesOf(steps[middle]));
      if (reached === true) found = steps[middle];
      // Where a step leaves no placement, only milder ones are worth a look.
      if (reached === false) low = middle;
      else high = middle;
    }
    return found;
  };
  // A floor is low where it is cut short: a milder rule may do that was not given the time to be proven.
  const answer = (rules: readonly Rule[]): MildestRules => ({
    rules, floor: label,
    words: `${rules.map(ruleInWords).join('; ')} (proven; a milder rule may do as well, but was not proven with `
      + `${mostClasses} classes of placements each${left() > 0 ? '' : ' in the time given'})`,
  });

  if (proven >= label || reaches([]) === true) return { rules: [], words: 'no further rule is needed', floor: best };
  const stages = capStages(study, label);
  /** The mildest cap beside other rules; a stage whose strictest cap does not reach the label is passed over. */
  const capBeside = (others: readonly Rule[]): readonly Rule[] | null => {
    const rulesOf = (power: number): readonly Rule[] => [...others, { rule: 'max-power-per-slot', power }];
    for (const stage of stages) {
      if (left() <= 0) break;
      const strictest = stage[stage.length - 1];
      // Where there is one stage alone nothing can be passed over.
      const reached = stages.length === 1 ? null : reaches(rulesOf(strictest));
      if (reached === false) continue;
      const cap = mildest(stage, rulesOf) ?? (reached === true ? strictest : null);
      if (cap !== null) return rulesOf(cap);
    }
    return null;
  };
  const capped = capBeside([]);
  if (capped !== null) return answer(capped);

  const { slotCount } = study.rack;
  const half = Math.max(0, Math.ceil(slotCount / 2) - 1);
  const bands = Array.from({ length: half }, (_, k) => band(k + 2, slotCount - k - 1));
  const central = mildest(bands, (rule) => [rule]);
  if (central !== null) {
    const upwards = Array.from({ length: slotCount - central.toSlot }, (_, k) => band(central.fromSlot, slotCount - k));
    const higher = mildest(upwards, (rule) => [rule]) ?? central;
    const downwards = Array.from({ length: higher.fromSlot - 1 }, (_, k) => band(k + 1, higher.toSlot));
    return answer([mildest(downwards, (rule) => [rule]) ?? higher]);
  }
  const third = band(Math.floor(slotCount / 3) + 1, Math.ceil((2 * slotCount) / 3));
  const both = capBeside([third]);
  if (both !== null) return answer(both);

  const kilowatts = (watts: number): string => `${(watts / 1e3).toFixed(1)} kW`;
  return {
    rules: null, floor: best,
    words: 'none of the rules tried (caps per slot, bands for the sources, both) '
      + `${left() > 0 ? '' : 'in the time given '}reaches ${kilowatts(label)}; `
      + `the best of them comes to ${kilowatts(Math.floor(best / 100) * 100)}`,
  };
}

function band(fromSlot: number, toSlot: number): OnlyInBand {
  return { rule: 'only-in-band', units: 'sources', fromSlot, toSlot };
}

/** W per slot of height, the most that a load of the study may draw. */
function largestPerSlot({ loads, catalogue, rules }: Study): number {
  const heightOf = (id: string): number => catalogue.loads.find((type) => type.id === id)?.heightSlots ?? 1;
  const drawn = (): number => {
    switch (loads.draw) {
      case 'fixed':
        return Math.max(...loads.units.map(({ id, power }) => power / heightOf(id)));
      case 'even':
        return loads.totalPower / loads.count.min / heightOf(loads.id);
      case 'random-split':
        return loads.totalPower / heightOf(loads.id);
      case 'all-or-nothing':
        return loads.cap / heightOf(loads.id);
      case 'catalogue':
        return Math.max(...catalogue.loads.map(({ power, heightSlots }) => power.max / heightSlots));
      case 'inventory':
        return Math.max(...loads.racks.flatMap(({ units }) => (
          units.map(({ power, heightSlots }) => power / heightSlots))));
    }
  };
  return rules.reduce(
    (most, rule) => (rule.rule === 'max-power-per-slot' ? Math.min(most, rule.power) : most), drawn());
}

/**
 * Caps in whole 100 W, W, each about 5 % below the one before, down to where all slots together come to the label, and
 * the strictest that each type of a catalogue can still keep; in stages in which a cap leaves the same types to be drawn.
 */
function capStages(study: Study, label: number): number[][] {
  const { loads, catalogue } = study;
  const largest = largestPerSlot(study);
  const book = ruleBook(study);
  const usable = label / (book.slotCount - sourceHeight(study, book) - book.minFreeSlots);
  const leasts = loads.draw !== 'catalogue' ? [] : catalogue.loads.filter(({ mixWeight }) => mixWeight > 0)
    .map(({ power, heightSlots }) => power.min / heightSlots);
  const ladder = Array.from({ length: 60 }, (_, k) => Math.floor((largest * 0.95 ** (k + 1)) / 100) * 100);
  const keepable = leasts.map((least) => Math.ceil(least / 100) * 100).filter((power) => power < largest);
  const caps = [...new Set([...ladder, ...keepable])].filter((power) => power > 0 && power >= usable)
    .sort((a, b) => b - a);
  const stages = new Map<number, number[]>();
  for (const power of caps) {
    const drawn = leasts.filter((least) => least <= power).length;
    if (leasts.length > 0 && drawn === 0) continue;
    stages.set(drawn, [...(stages.get(drawn) ?? []), power]);
  }
  return [...stages.values()];
}
