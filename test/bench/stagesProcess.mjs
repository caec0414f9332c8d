/**
 * A process of its own in which the library's stages are timed: reads lines `STAGE EXTRA`, answers each with the
 * seconds of a pass over the scenarios of a workload.
 *
 *   node stagesProcess.mjs WORKLOAD SCENARIOS
 */
import { createInterface } from 'node:readline';
import { internals } from './library.mjs';
import { makeRepeatable } from './stages.mjs';
import { workload } from './workloads.mjs';

const [name, count] = process.argv.slice(2);
const extra = makeRepeatable(internals);
const { rack, scenarios } = workload(name, Number(count));
const ladder = new internals.Ladder(rack);
const rating = new internals.Rating(ladder);

function pass() {
  const started = process.hrtime.bigint();
  for (const scenario of scenarios) {
    ladder.mount(scenario);
    rating.ratedPower();
  }
  return Number(process.hrtime.bigint() - started) / 1e9;
}

// Every stage repeated once, so that what is timed later is compiled by then.
for (let turn = 0; turn < 3; turn++) {
  for (let stage = 0; stage < extra.length; stage++) {
    extra[stage] = 1;
    pass();
    extra[stage] = 0;
  }
}
console.log('ready');
for await (const line of createInterface({ input: process.stdin })) {
  const [stage, more] = line.split(' ').map(Number);
  extra[stage] = more;
  console.log(pass().toFixed(9));
  extra[stage] = 0;
}
