import {
  type Catalogue, type CopperRequest, type InputProblem, loadCatalogue, loadCopper, loadLoadHistory, type LoadHistory,
} from '../rack/index.js';
import { openRack, warningText } from './openStudy.js';
import type { Screen } from './program.js';
import { rackFacts, rackLine } from './rackWords.js';
import { plainText } from './textTable.js';

/** What the check of one file found. */
interface Checked {
  readonly warnings: readonly InputProblem[];
  readonly facts: object;
  readonly lines: readonly string[];
}

type Checker = (file: string, screen: Screen) => Checked;

/** Formats that are checked by themselves, without their version. */
const CHECKERS: ReadonlyMap<string, Checker> = new Map<string, Checker>([
  ['slotcast-rack', (file, screen) => {
    const { rack, warnings } = openRack(file, screen);
    return { warnings, facts: { rack: rackFacts(rack) }, lines: [rackLine(rack)] };
  }],
  ['slotcast-catalogue', (file, screen) => {
    const [catalogue, warnings] = withWarnings(screen, (onWarning) => loadCatalogue(file, onWarning));
    const { name, sources, loads } = catalogue;
    return {
      warnings, facts: { catalogue: name, sources: sources.length, loads: loads.length }, lines: catalogueLines(catalogue),
    };
  }],
  ['slotcast-load-history', (file, screen) => {
    const [history, warnings] = withWarnings(screen, (onWarning) => loadLoadHistory(file, onWarning));
    const { name, steps, cycles } = history;
    return { warnings, facts: { loadOverTime: name, steps: steps.length, cycles }, lines: [historyLine(history)] };
  }],
  ['slotcast-copper', (file, screen) => {
    const { request, study, inputs, warnings } = loadCopper(file);
    for (const warning of warnings) screen.err(warningText(warning));
    return {
      warnings, facts: { study: study.name, designs: request.designs.length, inputs }, lines: copperLines(request, study.name),
    };
  }],
]);

/** The check for a file of that format; null where it is not checked by itself. */
export function checkerOf(format: string | null): Checker | null {
  return CHECKERS.get(format?.split('/')[0] ?? '') ?? null;
}

function withWarnings<Loaded>(
  screen: Screen, load: (onWarning: (warning: InputProblem) => void) => Loaded,
): [Loaded, InputProblem[]] {
  const warnings: InputProblem[] = [];
  const loaded = load((warning) => {
    warnings.push(warning);
    screen.err(warningText(warning));
  });
  return [loaded, warnings];
}

function catalogueLines({ name, sources, loads }: Catalogue): string[] {
  const ids = (types: readonly { readonly id: string }[]) => types.map(({ id }) => plainText(id)).join(', ') || 'none';
  return [`Catalogue ${plainText(name)}.`, `Sources: ${ids(sources)}.`, `Loads: ${ids(loads)}.`];
}

function historyLine({ name, before, steps, cycles }: LoadHistory): string {
  const seconds = steps.reduce((sum, { duration }) => sum + duration, 0);
  const highest = Math.max(before, ...steps.map(({ power }) => power));
  return `Load over time ${plainText(name)}: ${before / 1e3} kW before, then ${steps.length} steps over ${seconds} s, `
    + `${cycles === 1 ? 'once' : `${cycles} times`}; at most ${highest / 1e3} kW.`;
}

function copperLines({ designs, least }: CopperRequest, study: string): string[] {
  return [
    `Copper study on ${plainText(study)}: the bar as it is and ${designs.length} others `
      + `(${designs.map(({ name }) => plainText(name)).join('; ')}).`,
    ...(least === null ? [] : [
      `Then the least copper for ${least.wanted / 1e3} kW at the ${least.basis === 'floor' ? 'floor' : 'percentile'}, `
        + `by ${least.vary}.`,
    ]),
  ];
}
