/** The results as one page that opens offline, made of the report's own parts. */
import { memoryFigure, scenariosFigure, slotsFigure, statesFigure, workersFigure } from './growthFigures.mjs';
import { pageParts, slotcast } from './library.mjs';
import { machineText, spread } from './printed.mjs';
import { stagesFigure } from './stagesFigure.mjs';

const { caution, html, PageFigures, pagePieces, pageText, table } = pageParts;

/** @param results as written to bench.json */
export function* benchPage(results) {
  const { machine, rated, stages, draws, statistics, heights, states, studies, workers, commands } = results;
  const figures = new PageFigures();
  const rows = [...rated, ...heights].map(({ rack, workload, libraryUs, sweeps, c, scipy }) => [
    workload === 'deep-bar-all-states' ? `${rack}, seven states` : rack,
    spread(libraryUs), sweeps.toFixed(2), c === null ? '–' : spread(c.libraryOverC),
    scipy === null ? '–' : spread(scipy.scipyOverLibrary),
  ]);
  const count = slotcast.formatCount;
  const agreement = (other, program) => {
    const own = [...rated, ...heights].flatMap((row) => (row[other] === null ? [] : [row[other]]));
    if (own.length === 0) return `${program} was not there: nothing is compared with it.`;
    const compared = own.reduce((sum, row) => sum + row.compared, 0);
    const largest = Math.max(...own.map((row) => row.largest));
    return `Rated powers of ${count(compared)} scenarios by the library and by ${program} differ by at most `
      + `${largest.toExponential(1)}, relative.`;
  };
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
<p>${agreement('c', 'C')} ${agreement('scipy', 'SciPy')} Drawing takes
${spread(draws['deep-bar'])} µs per scenario of the deep bar; sorting ${count(statistics.values)} values
${spread(statistics.sortMs)} ms.</p>
`,
    },
    {
      id: 'growth',
      heading: 'How it grows',
      body: html`${figures.figure('slots', slotsFigure(heights))}${figures.figure('states', statesFigure(states))}
${figures.figure('scenarios', scenariosFigure(studies))}${figures.figure('memory', memoryFigure(studies))}
${workers.length > 1 ? figures.figure('workers', workersFigure(workers)) : ''}
${table('A study as a command on two workers, from its start until table and report are written',
    ['Scenarios', 'Seconds', 'Peak memory, MB'],
    commands.map((row) => [count(row.scenarios), spread(row.seconds), row.peakMb.toFixed(0)]))}
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
