/** What each stage of a rated power takes by the library, by C and by SciPy; µs per scenario. */
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { Baseline, findPython } from './baseline.mjs';
import { inTurn, spreadOf } from './measure.mjs';
import { openReference } from './ratedPowers.mjs';
import { Companion } from './reference.mjs';
import { EXTRA, STAGES, stageTimes } from './stages.mjs';
import { workload } from './workloads.mjs';

const PROCESS = join(dirname(fileURLToPath(import.meta.url)), 'stagesProcess.mjs');

export async function measureStages(name, { stageRounds, scenarios: count, slowScenarios }, folder) {
  const { rack, scenarios } = workload(name, count);
  const library = new Companion(process.execPath, [PROCESS, name, String(count)]);
  await library.line();
  const opened = await openReference(folder, rack, scenarios);
  if (opened !== null && opened.kept.length < count) throw new Error(`${name}: stages are compared where C rates all`);
  const passes = {};
  for (const stage of [-1, ...STAGES.keys()]) {
    const words = stage < 0 ? [0, 0] : [stage, EXTRA];
    passes[`library ${stage}`] = async () => (1e6 * Number(await library.ask(words.join(' ')))) / count;
    if (opened !== null) passes[`c ${stage}`] = async () => (1e6 * await opened.reference.pass(...words)) / count;
  }
  const taken = await inTurn(stageRounds, passes);
  await library.end();
  await opened?.reference.end();
  // Differences of one round, and their median: what slows the machine down slows both passes down.
  const timesOf = (who) => medians(taken[`${who} -1`].map((plain, round) =>
    stageTimes(plain, [...STAGES.keys()].map((stage) => taken[`${who} ${stage}`][round]), who === 'c')));
  return {
    library: timesOf('library'),
    c: opened === null ? null : timesOf('c'),
    scipy: await scipyStages(rack, scenarios.slice(0, slowScenarios), folder),
  };
}

async function scipyStages(rack, scenarios, folder) {
  const python = findPython();
  if (python === null) return null;
  const baseline = await Baseline.open(folder, python.program, rack, scenarios);
  const rounds = [];
  for (let round = 0; round < 3; round++) {
    const { stages } = await baseline.pass();
    const us = Object.entries(stages).map(([stage, seconds]) => [stage, (1e6 * seconds) / scenarios.length]);
    rounds.push(Object.fromEntries(us));
  }
  await baseline.end();
  return medians(rounds);
}

/** `[round]` of figures by name → the median of each. */
function medians(rounds) {
  return Object.fromEntries(Object.keys(rounds[0]).map((key) => [key, spreadOf(rounds.map((one) => one[key])).median]));
}
