/** The results in words and columns. */
import { STAGE_WORDS } from './stages.mjs';

const fixed = (value, decimals) => value.toFixed(decimals);
/** Three digits, whatever the size. */
export const digits = (value) => (value >= 100 ? Math.round(value).toLocaleString('en-US') : value.toPrecision(3));
export const spread = ({ median, lower, upper }) => `${digits(median)} (${digits(lower)} to ${digits(upper)})`;

/** Rows under each other; the first column to the left, all others to the right. */
function columns(rows) {
  const widths = rows[0].map((_, k) => Math.max(...rows.map((row) => row[k].length)));
  const padded = (cell, k) => (k === 0 ? cell.padEnd(widths[k]) : cell.padStart(widths[k]));
  return rows.map((row) => `  ${row.map(padded).join('  ')}`).join('\n');
}

export function machineText({ processor, cores, memoryGb, node, compiler, python, loadBefore }) {
  return `${processor}, ${cores} cores, ${memoryGb} GB; Node ${node}; ${compiler ?? 'no C compiler (gcc)'}; `
    + `${python ?? 'no Python with SciPy'}; load before ${loadBefore}`;
}

export function ratedText(row) {
  const { rack, libraryUs, sweeps, c, scipy, leftOut } = row;
  const lines = [`${rack} (${row.workload}): ${spread(libraryUs)} µs and ${fixed(sweeps, 2)} sweeps per rated power`];
  if (leftOut > 0) {
    lines.push(`  left out on both sides, since the joint search does not close or leaves the film table: ${leftOut}`);
  }
  if (c !== null) {
    lines.push(`  C ${spread(c.us)} µs; library / C ${spread(c.libraryOverC)}; ${agreement(c, 1e-9)}, `
      + `other sweeps in ${c.otherSweeps}`);
  }
  if (scipy !== null) {
    lines.push(`  SciPy ${spread(scipy.us)} µs; SciPy / library ${spread(scipy.scipyOverLibrary)}; `
      + agreement(scipy, 1e-6));
  }
  return lines.join('\n');
}

function agreement({ compared, largest }, allowed) {
  const verdict = largest <= allowed ? `within ${allowed.toExponential()}` : `NOT WITHIN ${allowed.toExponential()}`;
  return `${compared} rated powers differ by at most ${largest.toExponential(1)} relative, ${verdict}`;
}

export function stagesText({ library, c, scipy }) {
  const cell = (times, stage) => (times?.[stage] === undefined ? '' : digits(times[stage]));
  const stages = Object.keys(STAGE_WORDS);
  const sumOf = (times) => Object.values(times).reduce((a, b) => a + b, 0);
  const sum = (times) => (times === null ? '' : digits(sumOf(times)));
  return columns([
    ['µs per scenario', 'library', 'C', 'library/C', 'SciPy'],
    ...stages.map((stage) => [
      STAGE_WORDS[stage], cell(library, stage), cell(c, stage),
      c === null || !(c[stage] > 0) ? '' : fixed(library[stage] / c[stage], 1), cell(scipy, stage),
    ]),
    ['Sum', sum(library), sum(c), c === null ? '' : fixed(sumOf(library) / sumOf(c), 1), sum(scipy)],
  ]);
}

export function aroundText(draws, { values, percentiles, sortMs, percentilesMs }) {
  return [
    ...Object.entries(draws).map(([name, us]) => `  drawing, ${name}: ${spread(us)} µs per scenario`),
    `  sorting ${values} values: ${spread(sortMs)} ms; ${percentiles} percentiles with intervals: `
      + `${spread(percentilesMs)} ms`,
  ].join('\n');
}

export function growthText(rows) {
  return columns([
    ['slots', 'µs', 'µs per slot', 'sweeps', 'library/C', 'SciPy/library'],
    ...rows.map(({ slots, libraryUs, sweeps, c, scipy }) => [
      String(slots), digits(libraryUs.median), fixed(libraryUs.median / slots, 2), fixed(sweeps, 2),
      c === null ? '' : spread(c.libraryOverC), scipy === null ? '' : spread(scipy.scipyOverLibrary),
    ]),
  ]);
}

export function statesText(rows) {
  return columns([
    ['operating states', 'µs', 'µs per state', 'sweeps'],
    ...rows.map(({ states, us, sweeps }) => [
      String(states), spread(us), digits(us.median / states), fixed(sweeps, 2),
    ]),
  ]);
}

export function studiesText(rows) {
  return columns([
    ['scenarios', 's', 'µs per scenario', 'peak MB'],
    ...rows.map(({ scenarios, seconds, usPerScenario, peakMb }) => [
      String(scenarios), spread(seconds), digits(usPerScenario), fixed(peakMb, 0),
    ]),
  ]);
}

export function workersText(rows) {
  return columns([
    ['scenarios', '1 worker, s', '2 workers, s', 'times as fast', 'two programs apart', 'peak MB'],
    ...rows.map(({ scenarios, oneSeconds, twoSeconds, speedUp, speedUpApart, peakMb }) => [
      String(scenarios), spread(oneSeconds), spread(twoSeconds), spread(speedUp), spread(speedUpApart),
      `${fixed(peakMb.one, 0)}, ${fixed(peakMb.two, 0)}`,
    ]),
  ]);
}

export function commandsText(rows) {
  return columns([
    ['scenarios', 's', 'peak MB'],
    ...rows.map(({ scenarios, seconds, peakMb }) => [String(scenarios), spread(seconds), fixed(peakMb, 0)]),
  ]);
}
