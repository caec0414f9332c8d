import type { HeatRunContext } from '../readHeatRun.js';
import { describeValue, type ProblemLog } from '../text/problemLog.js';
import { describeSpan, overlaps, type Span } from '../text/spans.js';
import { listWords, suggestion } from '../text/spelling.js';
import type { HeatRunLine } from './line.js';

/** Whether the units of an operating point can stand where they are said to. */
export function logHeatRunUnits(
  point: string,
  lines: readonly HeatRunLine[],
  { rack, catalogue }: HeatRunContext,
  problems: Pick<ProblemLog, 'add'>,
): void {
  const standing: { readonly line: number; readonly span: Span }[] = [];
  for (const { line, kind, slot, equipment } of lines) {
    if (kind !== 'source' && kind !== 'load') continue;
    const types = kind === 'source' ? catalogue.sources : catalogue.loads;
    const type = types.find(({ id }) => id === equipment);
    if (type === undefined) {
      const ids = types.map(({ id }) => id);
      problems.add(
        `line ${line}, column equipment`,
        equipment === '' ? 'an empty cell' : describeValue(equipment),
        `${suggestion(equipment, ids)}give a ${kind} of the catalogue: ${listWords(ids)}`,
      );
      continue;
    }
    if (slot === null) continue;
    const span = { from: slot, to: slot + type.heightSlots - 1 };
    if (span.to > rack.slotCount) {
      problems.add(
        `line ${line}, column slot`,
        describeSpan(span),
        `the unit leaves the rack of ${rack.slotCount} slots`,
      );
    }
    standing.push({ line, span });
  }
  for (const [lower, upper] of overlaps(standing.map(({ span }) => span))) {
    problems.add(
      `line ${standing[upper].line}, column slot`,
      describeSpan(standing[upper].span),
      `units may not overlap, and line ${standing[lower].line} takes ${describeSpan(standing[lower].span)}`,
    );
  }
  logKinds(point, lines, problems);
  logSourceCurrents(lines, rack.sharing.model === 'droop', problems);
}

function logKinds(point: string, lines: readonly HeatRunLine[], problems: Pick<ProblemLog, 'add'>): void {
  for (const kind of ['source', 'load'] as const) {
    if (!lines.some((line) => line.kind === kind)) {
      problems.add(
        `line ${lines[0].line}, column point`,
        `no ${kind} at ${describeValue(point)}`,
        `add a row of the kind "${kind}" for each ${kind} that carried current`,
      );
    }
  }
}

/** Currents of the sources say how they shared: all of them, or none; with droop the network decides. */
function logSourceCurrents(lines: readonly HeatRunLine[], isDroop: boolean, problems: Pick<ProblemLog, 'add'>): void {
  const sources = lines.filter(({ kind }) => kind === 'source');
  const given = sources.filter(({ current }) => current !== null);
  if (given.length > 0 && isDroop) {
    problems.add(
      `line ${given[0].line}, column currentA`,
      `${given[0].current} A`,
      'leave the currents of the sources out: in this rack the droop decides them',
    );
    return;
  }
  if (given.length === 0) return;
  for (const { line, current } of sources) {
    if (current === null) {
      problems.add(
        `line ${line}, column currentA`,
        'an empty cell',
        'give the current of every source of this operating point, or of none',
      );
    }
  }
}
