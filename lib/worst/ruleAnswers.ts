/** What placement rules buy: the worst placement from both sides under each of them, and the mildest that reach a label. */
import { checkRules, ImpossibleRules, ruleInWords } from '../draw/index.js';
import type { Rule, Study } from '../rack/index.js';
import type { Floor } from './answers.js';
import { proveFloor } from './floor.js';
import type { ToleranceRanges } from './toleranceRanges.js';
import { type WorstAnswer, worstAnswer, type WorstOptions } from './worstAnswer.js';

/** One set of rules with what it leads to. */
export interface RuleAnswer {
  /** `no further rule` for the study as it is. */
  readonly name: string;
  readonly rules: readonly Rule[];
  /** The study with the rules on top of its own. */
  readonly study: Study;
  /** null where the rules leave no placement. */
  readonly answer: WorstAnswer | null;
  readonly impossible: string | null;
}

/** The study with more rules. */
export function withRules(study: Study, rules: readonly Rule[]): Study {
  return { ...study, rules: [...study.rules, ...rules] };
}

/**
 * The study as it is, then under each of its candidate rules. A floor under more rules is at least the floor without.
 *
 * @param options time and starts for each of them
 */
export function answerRules(study: Study, ranges: ToleranceRanges, options: WorstOptions): RuleAnswer[] {
  const plain: RuleAnswer = {
    name: 'no further rule', rules: [], study, answer: worstAnswer(study, ranges, options), impossible: null,
  };
  const atLeast = plain.answer?.floor.power ?? 0;
  return [plain, ...study.candidateRules.map(({ name, rules }): RuleAnswer => {
    const ruled = withRules(study, rules);
    try {
      checkRules(ruled);
    } catch (error) {
      if (!(error instanceof ImpossibleRules)) throw error;
      return { name, rules, study: ruled, answer: null, impossible: error.message };
    }
    return { name, rules, study: ruled, answer: worstAnswer(ruled, ranges, { ...options, atLeast }), impossible: null };
  })];
}

/** The mildest rules found that make a label hold everywhere. */
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
  readonly now: () => number;
}

/** A family of rules from mild to strict; the floor does not fall from one to the next. */
interface Ladder {
  readonly name: string;
  readonly steps: readonly (readonly Rule[])[];
}

/**
 * Looks over caps on the power per slot, bands for the sources and both together for the mildest rules under which the
 * floor reaches a label, W. In each family the rules get stricter step by step, so halving finds the first that does.
 */
export function mildestRules(
  study: Study, ranges: ToleranceRanges, label: number, { mostClasses = 150, now }: MildestOptions,
): MildestRules {
  const floorOf = (rules: readonly Rule[]): Floor | null => {
    const ruled = withRules(study, rules);
    try {
      checkRules(ruled);
    } catch (error) {
      if (error instanceof ImpossibleRules) return null;
      throw error;
    }
    return proveFloor(ruled, ranges, { below: label, mostClasses }, now);
  };
  const free = floorOf([]);
  if (free !== null && free.power >= label) return { rules: [], words: 'no further rule is needed', floor: free.power };
  let best = free?.power ?? 0;
  for (const { name, steps } of families(study)) {
    let [low, high] = [-1, steps.length];
    let reached: Floor | null = null;
    while (high - low > 1) {
      const middle = Math.floor((low + high) / 2);
      const floor = floorOf(steps[middle]);
      best = Math.max(best, floor?.power ?? 0);
      if (floor !== null && floor.power >= label) {
        high = middle;
        reached = floor;
      } else if (floor === null) {
        // Too strict to leave any placement: only milder ones are worth a look.
        high = middle;
        if (high - low <= 1) break;
      } else {
        low = middle;
      }
    }
    if (reached !== null && high < steps.length) {
      return { rules: steps[high], words: `${name}: ${steps[high].map(ruleInWords).join('; ')}`, floor: reached.power };
    }
  }
  return {
    rules: null, floor: best,
    words: `none of the rules tried (caps per slot, bands for the sources, both) reaches ${(label / 1e3).toFixed(1)} kW; `
      + `the best comes to ${(best / 1e3).toFixed(1)} kW`,
  };
}

/** Caps from the largest power per slot that a study can draw down to a fifth of it. */
function families(study: Study): Ladder[] {
  const { slotCount } = study.rack;
  const largest = Math.max(...study.catalogue.loads.map(({ power, heightSlots }) => power.max / heightSlots));
  const caps = Array.from({ length: 16 }, (_, k): Rule => ({
    rule: 'max-power-per-slot', power: Math.round((largest * (1 - 0.05 * (k + 1))) / 100) * 100,
  }));
  const bands = Array.from({ length: Math.floor(slotCount / 2) - 1 }, (_, k): Rule => (
    { rule: 'only-in-band', units: 'sources', fromSlot: k + 2, toSlot: slotCount - k - 1 }));
  const third = bands[Math.floor(slotCount / 3) - 1] ?? bands[bands.length - 1];
  return [
    { name: 'a cap per slot', steps: caps.map((rule) => [rule]) },
    { name: 'sources around the middle', steps: bands.map((rule) => [rule]) },
    ...(third === undefined ? []
      : [{ name: 'sources in the middle third and a cap per slot', steps: caps.map((rule) => [third, rule]) }]),
  ];
}
