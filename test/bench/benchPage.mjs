/** The results as one page that opens offline, made of the report's own parts. */
import { memoryFigure, scenariosFigure, slotsFigure, statesFigure } from './growthFigures.mjs';
import { pageParts } from './library.mjs';
import { machineText } from './printed.mjs';
import { stagesFigure } from './stagesFigure.mjs';

const { caution, html, PageFigures, pagePieces, pageText, table } = pageParts;
const digits = (value) => (value >= 100 ? Math.round(value).toLocaleString('en-US') : value.toPrecision(3));
const middle = ({ median, lower, upper }) => `${digits(median)} (${digits(lower)} to ${digits(upper)})`;

/** @param results as written to bench.json */
export function* benchPage(results) {
  const { machine, rated, stages, draws, statistics, heights, states, studies, workers } = results;
  const figures = new PageFigures();
  const rows = [...rated, ...heights].map(({ rack, workload, libraryUs, sweeps, c, scipy }) => [
    workload === 'deep-bar-all-states' ? `${rack}, seven states` : rack,
    middle(libraryUs), sweeps.toFixed(2), c === null ? '–' : middle(c.libraryOverC),
    scipy === null ? '–' : middle(scipy.scipyOverLibrary),
  ]);
  const differences = [...rated, ...heights].flatMap(({ c }) => (c === null ? [] : [c.largest]));
  const sections = [
    {
      id: 'stages',
      heading: 'Where the time of a rated power goes',
      body: html`${figures.figure('stages', stagesFigure(stages))}`,
    },
    {
      id: 'compared',
      heading: 'Against C and SciPy',
      body: html`${table('Medians, in brackets the middle half of the passes',
        ['Rack', 'µs per rated power', 'sweeps', 'library / C', 'SciPy / library'], rows)}
<p>${differences.length === 0 ? 'No C compiler was there: nothing is compared with C.'
  : `Rated powers of the library and of C differ by at most ${Math.max(...differences).toExponential(1)}, relative.`}
Drawing takes ${middle(draws['deep-bar'])} µs per scenario of the deep bar; sorting ${digits(statistics.values)} values
${middle(statistics.sortMs)} ms.</p>
`,
    },
    {
      id: 'growth',
      heading: 'How it grows',
      body: html`${figures.figure('slots', slotsFigure(heights))}${figures.figure('states', statesFigure(states))}
${figures.figure('scenarios', scenariosFigure(studies))}${figures.figure('memory', memoryFigure(studies))}
<p>Two workers are ${middle(workers.speedUp)} times as fast as one over ${digits(workers.scenarios)} scenarios.</p>
`,
    },
    caution(),
    {
      id: 'machine',
      heading: 'The machine',
      body: html`<p>${machineText(machine)}. It was shared while this was measured: what is compared ran in turn, and
ratios say more than times. The racks are invented for demonstration.</p>
`,
    },
  ];
  const head = html`<header><p class="kicker">Benchmark</p>
<h1>What a rated power costs</h1>
<p>Size of the run: ${results.size}.</p></header>
`;
  yield* pagePieces(pageText('Benchmark', head, sections, 'rated powers'), figures);
}
