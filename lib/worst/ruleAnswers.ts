/** What placement rules buy: the worst placement from both sides under each of them. */
import { checkRules, ImpossibleRules } from '../draw/index.js';
import type { Rule, Study } from '../rack/index.js';
import { onlyNarrows } from './onlyNarrows.js';
import type { ToleranceRanges } from './toleranceRanges.js';
import { gapPercent, type WorstAnswer, worstAnswer, type WorstOptions } from './worstAnswer.js';

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

/** Why rules on top of a study's own leave no placement, in words; null where they leave some. */
export function whyImpossible(study: Study, rules: readonly Rule[]): string | null {
  try {
    checkRules(withRules(study, rules));
    return null;
  } catch (error) {
    if (!(error instanceof ImpossibleRules)) throw error;
    return error.message;
  }
}

/**
 * The study as it is, then under each of its candidate rules.
 *
 * Where rules only narrow the study (see {@link onlyNarrows}), its floor is one under them too, and a lower placement
 * that was met under them is the study's worst found as well. Elsewhere neither is taken over: a rule may lower what is
 * carried, e.g. by keeping the slots beside the sources free of loads.
 *
 * @param options time and starts for each of them
 * @throws as {@link worstAnswer}
 */
export function answerRules(study: Study, ranges: ToleranceRanges, options: WorstOptions): RuleAnswer[] {
  const plain = worstAnswer(study, ranges, options);
  const ruled = study.candidateRules.map(({ name, rules }): RuleAnswer => {
    const under = withRules(study, rules);
    const impossible = whyImpossible(study, rules);
    if (impossible !== null) return { name, rules, study: under, answer: null, impossible };
    const atLeast = onlyNarrows(study, rules) ? plain.floor.power : 0;
    const answer = worstAnswer(under, ranges, { ...options, atLeast });
    return { name, rules, study: under, answer, impossible: null };
  });
  const narrower = ruled.flatMap(({ rules, answer }) => (answer !== null && onlyNarrows(study, rules) ? [answer] : []));
  return [
    { name: 'no further rule', rules: [], study, answer: narrower.reduce(lowered, plain), impossible: null },
    ...ruled,
  ];
}

/** An answer with the lower of two placements met; its own starts then agree only where they came as near as asked. */
function lowered(plain: WorstAnswer, under: WorstAnswer): WorstAnswer {
  const { found } = plain;
  const lower = under.found.rated.power;
  if (lower >= found.rated.power) return plain;
  const near = found.rated.power <= lower * (1 + 1e-3);
  return {
    found: {
      ...found, rated: under.found.rated, scenario: under.found.scenario, agreeing: near ? found.agreeing : 0,
      evaluations: found.evaluations + under.found.evaluations, seconds: found.seconds + under.found.seconds,
    },
    floor: plain.floor,
    gapPercent: gapPercent(plain.floor.power, lower),
  };
}
