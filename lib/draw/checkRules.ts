import type { Rule, Study } from '../rack/studyModel.js';
import { ImpossibleRules } from './errors.js';
import { placementPossible } from './placementPossible.js';
import { allowedInstead, LEAVE_OUT, ruleInWords } from './ruleWords.js';

/**
 * Makes sure, before any scenario is drawn, that the study has a placement for everything its draw may ask for: each
 * number of units of its range, each observed rack.
 *
 * Rules only take placements away, so that there is a first rule, in the order of the file, with which none is left:
 * that one is named. It may be another rule's fault; taking out either helps.
 * @throws ImpossibleRules naming that rule and what would be allowed in its place, or saying that the units do not fit
 *   even without rules
 * @throws InputError when the catalogue lacks a unit or a draw cannot be made
 */
export function checkRules(study: Study): void {
  if (placementPossible(study).possible) return;
  const without = placementPossible({ ...study, rules: [] });
  if (!without.possible) {
    throw new ImpossibleRules(
      `the units do not fit even without rules: ${without.why}; ` +
        'allowed: fewer or lower units, other source positions, or a higher rack',
      null,
      null,
      without.proven,
    );
  }
  const index = firstImpossible(study);
  const rule = study.rules[index];
  const upTo = { ...study, rules: study.rules.slice(0, index + 1) };
  const verdict = placementPossible(upTo);
  if (verdict.possible) throw new Error('the search for the rule that fails found none');
  throw new ImpossibleRules(
    `rule ${index + 1} of ${study.rules.length} (rules[${index}]: ${ruleInWords(rule)}) leaves no placement` +
      `${verdict.proven ? '' : ' that could be found'}` +
      `${index > 0 ? ' together with the rules before it' : ''}: ${verdict.why}; ` +
      `allowed: ${verdict.proven ? instead(upTo, rule) : LEAVE_OUT}`,
    index,
    rule,
    verdict.proven,
  );
}

/** Halving: possible with the first `low` rules, impossible with the first `high`. */
function firstImpossible(study: Study): number {
  let low = 0;
  let high = study.rules.length;
  while (high - low > 1) {
    const middle = Math.floor((low + high) / 2);
    if (placementPossible({ ...study, rules: study.rules.slice(0, middle) }).possible) low = middle;
    else high = middle;
  }
  return high - 1;
}

function instead(study: Study, rule: Rule): string {
  const before = study.rules.slice(0, -1);
  return allowedInstead(
    rule,
    study.rack.slotCount,
    (other) => placementPossible({ ...study, rules: [...before, other] }).possible,
  );
}
