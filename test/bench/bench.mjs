/**
 * What rated powers cost: by stage, against C and against SciPy, and how that grows. Prints, and writes
 * results/bench.json and results/bench.html; never a check of times. See DEVELOPERS.md.
 *
 *   node test/bench/bench.mjs [--trial | --quick | --full]
 */
import { mkdirSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { benchPage } from './benchPage.mjs';
import { isolated } from './isolated.mjs';
import { describeMachine } from './machine.mjs';
import { readOptions } from './options.mjs';
import {
  aroundText, commandsText, growthText, machineText, ratedText, stagesText, statesText, studiesText, workersText,
} from './printed.mjs';
import { scratchFolder } from './reference.mjs';
import { measureStages } from './stageComparison.mjs';
import { measureCommands, measureStudies, measureWorkers } from './studies.mjs';

const root = join(dirname(fileURLToPath(import.meta.url)), '..', '..');
process.chdir(root);

let options;
try {
  options = readOptions(process.argv.slice(2));
} catch (error) {
  console.error(error.message);
  process.exit(2);
}
const started = process.hrtime.bigint();
const folder = scratchFolder();
const machine = describeMachine();
console.log(`${machineText(machine)}\nMedians, in brackets the middle half of the passes.`);
if (machine.compiler === null) console.log('No C compiler (gcc) found: nothing is compared with C.');
if (machine.python === null) {
  console.log('No Python with SciPy found (.venv/bin/python, python3): nothing is compared with it.');
}

const rated = [];
for (const [name, others] of [['deep-bar', true], ['deep-bar-all-states', false], ['plain-bar', false]]) {
  rated.push(await isolated('./ratedPowers.mjs', 'measureRatedPowers', name, options, folder, others));
  console.log(`\n${ratedText(rated.at(-1))}`);
}
const stages = await measureStages('deep-bar', options, folder);
console.log(`\nStages of a rated power, deep bar, one operating state\n${stagesText(stages)}`);
const draws = await isolated('./aroundRating.mjs', 'measureDraws', ['deep-bar', 'plain-bar'], options);
const statistics = await isolated('./aroundRating.mjs', 'measureStatistics', options);
console.log(`\nBefore and after rating\n${aroundText(draws, statistics)}`);
const heights = [];
for (const slots of options.heights) {
  const name = `slots-${slots}`;
  heights.push(await isolated('./ratedPowers.mjs', 'measureRatedPowers', name, options, folder, true));
}
console.log(`\nGrowth with slots, one operating state\n${growthText(heights)}`);
for (const row of heights) console.log(ratedText(row));
const states = await isolated('./states.mjs', 'measureStates', options);
console.log(`\nGrowth with operating states, deep bar\n${statesText(states)}`);
const studies = await measureStudies(options);
console.log(`\nWhole studies, deep bar in seven states, one worker\n${studiesText(studies)}`);
const workers = await measureWorkers(options);
console.log('\nWorkers; two programs of one worker each at once, which share nothing, show what the machine gave\n'
  + workersText(workers));
const commands = await measureCommands(options, folder);
console.log(`\nThe command, two workers, from its start until table and report are written\n${commandsText(commands)}`);

const results = {
  format: 'slotcast-bench/1', size: options.size, machine, rated, stages, draws, statistics, heights, states, studies,
  workers, commands,
};
mkdirSync('results', { recursive: true });
const written = join('results', options.size === 'trial' ? 'bench-trial' : 'bench');
writeFileSync(`${written}.json`, `${JSON.stringify(results, null, 2)}\n`);
writeFileSync(`${written}.html`, [...benchPage(results)].join(''));
const seconds = Number(process.hrtime.bigint() - started) / 1e9;
console.log(`\nWritten to ${written}.json and ${written}.html after ${seconds.toFixed(0)} s.`);
