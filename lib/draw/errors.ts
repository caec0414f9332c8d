import type { Rule } from '../rack/studyModel.js';

/**
 * The study asks for placements that cannot exist. Found before any scenario runs.
 */
export class ImpossibleRules extends Error {
  /** 0-based position of the rule in the study's list; null where the units do not fit even without rules. */
  readonly ruleIndex: number | null;
  readonly rule: Rule | null;
  /** True: no placement exists. False: none was found and the search was too large to be sure. */
  readonly proven: boolean;

  constructor(message: string, ruleIndex: number | null, rule: Rule | null, proven: boolean) {
    super(message);
    this.name = 'ImpossibleRules';
    this.ruleIndex = ruleIndex;
    this.rule = rule;
    this.proven = proven;
  }
}

/**
 * Allowed placements exist, but they are so rare among the drawn ones that none was met for this scenario.
 */
export class PlacementNotFound extends Error {
  readonly scenarioIndex: number;
  /** Source arrangements drawn. */
  readonly tries: number;

  constructor(scenarioIndex: number, tries: number, loads: string) {
    super(
      `scenario ${scenarioIndex}: found no allowed place for ${loads} beside ${tries} drawn source ` +
        `arrangement${tries === 1 ? '' : 's'}; allowed placements are too rare to be drawn: narrow the ` +
        'source positions (bands, groups, fixed), or ask for fewer loads or looser rules',
    );
    this.name = 'PlacementNotFound';
    this.scenarioIndex = scenarioIndex;
    this.tries = tries;
  }
}
