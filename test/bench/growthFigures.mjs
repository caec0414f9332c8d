/** How times and memory grow: with slots, operating states and scenarios. */
import { slotcast } from './library.mjs';
import { digits } from './printed.mjs';

const { countOf, curvesFigure, formatCount } = slotcast;

/** Curves with their measured points, at which the horizontal axis has its ticks; the other from zero where asked for. */
function measuredCurves(input, fromZero = false) {
  const points = input.curves.flatMap((curve) => curve.points);
  const figure = curvesFigure({ ...input, points: [{ name: 'measured', points }] });
  const ticks = [...new Set(points.map(([x]) => x))];
  const { xaxis, yaxis } = figure.layout;
  return {
    ...figure,
    layout: {
      ...figure.layout,
      xaxis: { ...xaxis, tickvals: ticks, ticktext: ticks.map(formatCount) },
      yaxis: fromZero ? { ...yaxis, rangemode: 'tozero' } : yaxis,
    },
  };
}

/** Power of x that y grows with, between the first and the last row. */
function order(rows, x, y) {
  const [first, last] = [rows[0], rows.at(-1)];
  return Math.log(y(last) / y(first)) / Math.log(x(last) / x(first));
}

export function slotsFigure(heights) {
  const points = (usOf) => heights.map((row) => [row.slots, usOf(row)]).filter(([, us]) => us !== undefined);
  const curves = [
    { name: 'SciPy', points: points(({ scipy }) => scipy?.us.median) },
    { name: 'library', points: points(({ libraryUs }) => libraryUs.median) },
    { name: 'C', points: points(({ c }) => c?.us.median) },
  ].filter((curve) => curve.points.length > 0);
  const growth = order(heights, ({ slots }) => slots, ({ libraryUs }) => libraryUs.median);
  return measuredCurves({
    title: `Time grows as the ${growth.toFixed(2)}th power of the slots`,
    description: `Per rated power, one operating state: ${heights.map(({ slots, libraryUs }) =>
      `${slots} slots ${digits(libraryUs.median)} µs (${(libraryUs.median / slots).toFixed(2)} per slot)`).join(', ')}.`,
    x: { label: 'slots', logarithmic: true },
    y: { label: 'time per rated power, µs', logarithmic: true },
    curves,
  });
}

export function statesFigure(states) {
  const [first, last] = [states[0], states.at(-1)];
  const times = last.us.median / first.us.median;
  return measuredCurves({
    title: `${last.states} operating states take ${times.toFixed(1)} times as long as one`,
    description: `Deep bar of 44 slots: ${states.map(({ states: n, us, sweeps }) =>
      `${countOf(n, 'state')} ${digits(us.median)} µs in ${sweeps.toFixed(1)} sweeps`).join(', ')}.`,
    x: { label: 'operating states' },
    y: { label: 'time per rated power, µs' },
    curves: [{ name: 'library', points: states.map(({ states: n, us }) => [n, us.median]) }],
  }, true);
}

export function scenariosFigure(studies) {
  const last = studies.at(-1);
  return measuredCurves({
    title: `${formatCount(last.scenarios)} scenarios take ${last.seconds.median.toPrecision(2)} s on one worker`,
    description: `Deep bar in seven operating states, start of the program left out: ${studies.map((row) =>
      `${formatCount(row.scenarios)} scenarios ${row.seconds.median.toPrecision(3)} s`).join(', ')}.`,
    x: { label: 'scenarios', logarithmic: true },
    y: { label: 'time of a study, s', logarithmic: true },
    curves: [{ name: 'one worker', points: studies.map(({ scenarios, seconds }) => [scenarios, seconds.median]) }],
  });
}

export function workersFigure(workers) {
  const last = workers.at(-1);
  return measuredCurves({
    title: `Two workers are ${last.speedUp.median.toFixed(2)} times as fast as one over ${formatCount(last.scenarios)} scenarios`,
    description: 'In turn with two programs of one worker each at once, which share nothing: what the machine had to give. '
      + `${workers.map((row) => `${formatCount(row.scenarios)} scenarios: workers ${row.speedUp.median.toFixed(2)}, `
        + `programs ${row.speedUpApart.median.toFixed(2)} times`).join('; ')}.`,
    x: { label: 'scenarios', logarithmic: true },
    y: { label: 'times as fast as one worker' },
    curves: [
      { name: 'two workers', points: workers.map(({ scenarios, speedUp }) => [scenarios, speedUp.median]) },
      { name: 'two programs', points: workers.map(({ scenarios, speedUpApart }) => [scenarios, speedUpApart.median]) },
    ],
  }, true);
}

export function memoryFigure(studies) {
  const [first, last] = [studies[0], studies.at(-1)];
  const more = (1e6 * (last.peakMb - first.peakMb)) / (last.scenarios - first.scenarios);
  return measuredCurves({
    title: `Memory peaks at ${last.peakMb.toFixed(0)} MB for ${formatCount(last.scenarios)} scenarios`,
    description: `Peak of the resident memory of the whole process, about ${Math.round(more)} bytes more per scenario: `
      + `${studies.map((row) => `${formatCount(row.scenarios)} scenarios ${row.peakMb.toFixed(0)} MB`).join(', ')}.`,
    x: { label: 'scenarios', logarithmic: true },
    y: { label: 'peak memory, MB' },
    curves: [{ name: 'one worker', points: studies.map(({ scenarios, peakMb }) => [scenarios, peakMb]) }],
  }, true);
}
