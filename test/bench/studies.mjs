/** Whole studies, through runStudy and as a command: growth with scenarios, speed-up by workers, peak memory. */
import { execFile } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import { inTurn, ratioOf, spreadOf } from './measure.mjs';

const HERE = dirname(fileURLToPath(import.meta.url));
const PROCESS = join(HERE, 'studyProcess.mjs');
const PEAK_AT_EXIT = join(HERE, 'peakAtExit.mjs');
const COMMAND = join(HERE, '..', '..', 'dist', 'program', 'main.js');

async function runOnce(scenarios, workers) {
  const { stdout } = await promisify(execFile)(process.execPath, [PROCESS, String(scenarios), String(workers)]);
  return JSON.parse(stdout);
}

export async function measureStudies({ studies, studyRounds }) {
  const rows = [];
  for (const scenarios of studies) {
    const runs = [];
    for (let round = 0; round < studyRounds; round++) runs.push(await runOnce(scenarios, 1));
    const seconds = spreadOf(runs.map((run) => run.seconds));
    rows.push({
      scenarios, seconds, usPerScenario: (1e6 * seconds.median) / scenarios,
      peakMb: Math.max(...runs.map((run) => run.peakMb)),
    });
  }
  return rows;
}

/**
 * Studies on one worker, on two, and two programs of one worker each at once, in turn. The programs share nothing, so what
 * they get through is what the machine has to give to two threads at that time.
 */
export async function measureWorkers({ workerStudies, workerRounds }) {
  const rows = [];
  for (const scenarios of workerStudies) rows.push(await workersRow(scenarios, workerRounds));
  return rows;
}

async function workersRow(scenarios, rounds) {
  const peak = {};
  const pass = (workers) => async () => {
    const run = await runOnce(scenarios, workers);
    peak[workers] = Math.max(peak[workers] ?? 0, run.peakMb);
    return run.seconds;
  };
  /** Half of the time until both are done: the time for as many scenarios as the others rate. */
  const apart = async () => {
    const runs = await Promise.all([runOnce(scenarios, 1), runOnce(scenarios, 1)]);
    return Math.max(...runs.map(({ seconds }) => seconds)) / 2;
  };
  const taken = await inTurn(rounds, { one: pass(1), two: pass(2), apart });
  return {
    scenarios,
    oneSeconds: spreadOf(taken.one),
    twoSeconds: spreadOf(taken.two),
    speedUp: ratioOf(taken.one, taken.two),
    speedUpApart: ratioOf(taken.one, taken.apart),
    peakMb: { one: peak[1], two: peak[2] },
  };
}

/** The command as people run it: from its start until summary, table and report are written, on two workers. */
export async function measureCommands({ commandStudies, commandRounds }, folder) {
  const rows = [];
  for (const scenarios of commandStudies) {
    const runs = [];
    for (let round = 0; round < commandRounds; round++) runs.push(await runCommand(scenarios, folder));
    rows.push({
      scenarios,
      seconds: spreadOf(runs.map((run) => run.seconds)),
      peakMb: Math.max(...runs.map((run) => run.peakMb)),
    });
  }
  return rows;
}

async function runCommand(scenarios, folder) {
  const peakFile = join(folder, 'peak.txt');
  const started = process.hrtime.bigint();
  await promisify(execFile)(process.execPath, [
    '--import', PEAK_AT_EXIT, COMMAND, 'study', 'data-demo/deep-bar-anywhere.json', '--scenarios', String(scenarios),
    '--workers', '2', '--out', join(folder, 'study'), '--replace', '--quiet',
  ], { env: { ...process.env, PEAK_FILE: peakFile } });
  const seconds = Number(process.hrtime.bigint() - started) / 1e9;
  return { seconds, peakMb: Number(readFileSync(peakFile, 'utf8')) / 1024 };
}
