/** How the time of a rated power grows with the operating states that a placement must survive. */
import { internals } from './library.mjs';
import { inTurn, secondsOf, spreadOf } from './measure.mjs';
import { packAll, unpack } from './packedRows.mjs';
import { workload } from './workloads.mjs';

const STATES = [1, 2, 4, 7];

/** The deep bar in all its states, of which the first few are rated; mounting lays out all of them every time. */
export async function measureStates({ rounds, scenarios: count }) {
  const { rack, scenarios } = workload('deep-bar-all-states', count);
  const ladder = new internals.Ladder(rack);
  const rating = new internals.Rating(ladder);
  const { call } = ladder.kernel;
  const { rows } = ladder.mounting;
  const packed = packAll(rows, scenarios);
  const sweeps = {};
  const pass = (states) => secondsOf(() => {
    let sum = 0;
    for (const scenario of packed) {
      unpack(rows, scenario);
      ladder.mountRows();
      if (call.countStates() < states) throw new RangeError(`${call.countStates()} states, ${states} wanted`);
      call.keepStates(states);
      rating.ratedPower();
      sum += ladder.sweeps;
    }
    sweeps[states] = sum / count;
  });
  const taken = await inTurn(rounds, Object.fromEntries(STATES.map((n) => [n, () => (1e6 * pass(n)) / count])));
  return STATES.map((states) => ({ states, sweeps: sweeps[states], us: spreadOf(taken[states]) }));
}
