/** Whole studies through runStudy: growth with scenarios, speed-up by workers, peak memory. */
import { execFile } from 'node:child_process';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import { inTurn, ratioOf, spreadOf } from './measure.mjs';

const PROCESS = join(dirname(fileURLToPath(import.meta.url)), 'studyProcess.mjs');

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
 * One worker, two, and two programs of one worker each at once, in turn. The programs share nothing, so what they get
 * through is what the machine has to give to two threads at that time.
 */
export async function measureWorkers({ workerScenarios, workerRounds }) {
  const peak = {};
  const pass = (workers) => async () => {
    const run = await runOnce(workerScenarios, workers);
    peak[workers] = Math.max(peak[workers] ?? 0, run.peakMb);
    return run.seconds;
  };
  /** Half of the time until both are done: the time for as many scenarios as the others rate. */
  const apart = async () => {
    const runs = await Promise.all([runOnce(workerScenarios, 1), runOnce(workerScenarios, 1)]);
    return Math.max(...runs.map(({ seconds }) => seconds)) / 2;
  };
  const taken = await inTurn(workerRounds, { one: pass(1), two: pass(2), apart });
  return {
    scenarios: workerScenarios,
    oneSeconds: spreadOf(taken.one),
    twoSeconds: spreadOf(taken.two),
    speedUp: ratioOf(taken.one, taken.two),
    speedUpApart: ratioOf(taken.one, taken.apart),
    peakMb: { one: peak[1], two: peak[2] },
  };
}
