/**
 * A process of its own in which the library's stages are timed: reads lines `STAGE EXTRA`, answers each with the
 * seconds of a pass over the scenarios of a workload.
 *
 *   node stagesProcess.mjs WORKLOAD SCENARIOS
 */
import { createInterface } from 'node:readline';
import { internals } from './library.mjs';
import { packAll, unpack } from './packedRows.mjs';
import { STAGES } from './stages.mjs';
import { workload } from './workloads.mjs';

const [name, count] = process.argv.slice(2);
const { rack, scenarios } = workload(name, Number(count));
const ladder = new internals.Ladder(rack);
const rating = new internals.Rating(ladder);
const { call } = ladder.kernel;
const { rows } = ladder.mounting;
const packed = packAll(rows, scenarios);

function mount(scenario) {
  unpack(rows, scenario);
  ladder.mountRows();
}

/** Seconds of a pass in which one stage runs `more` times more than it must. */
function pass(stage, more) {
  const extra = Object.fromEntries(STAGES.map((each, k) => [each, k === stage ? more : 0]));
  call.repeatStages(extra.currents, extra.contacts, extra.films, extra.newton, extra.hotSpots);
  const started = process.hrtime.bigint();
  for (const scenario of packed) {
    for (let turn = 0; turn < extra.mounting; turn++) mount(scenario);
    mount(scenario);
    if (extra.start > 0) {
      ladder.setState(ladder.states[0]);
      for (let turn = 0; turn < extra.start; turn++) {
        call.solveStart();
        call.forgetStart();
      }
    }
    rating.ratedPower();
  }
  return Number(process.hrtime.bigint() - started) / 1e9;
}

// Every stage repeated once, so that what is timed later is compiled by then.
for (let turn = 0; turn < 3; turn++) for (const stage of STAGES.keys()) pass(stage, 1);
console.log('ready');
for await (const line of createInterface({ input: process.stdin })) {
  console.log(pass(...line.split(' ').map(Number)).toFixed(9));
}
