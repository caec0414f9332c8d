import { spawnSync } from 'node:child_process';

const told = spawnSync('ngspice', ['--version'], { encoding: 'utf8' });

/** Its Newton iteration may go round and round where rounding keeps it from closing. */
const PATIENCE_MS = 60_000;

/** Whether the circuit simulator ngspice is installed. */
export const haveNgspice = told.status === 0;

/** Its name and release. */
export const NGSPICE = /ngspice-\d+/.exec(told.stdout ?? '')?.[0] ?? 'ngspice';

/**
 * Values of expressions at a circuit's operating point.
 *
 * Newton stops where its last step is below 1e-9 of every value, and what is left after that step is smaller by far;
 * tighter, and rounding keeps it from stopping. gmin, a conductance the simulator adds across its devices, is made too
 * small to carry any current that counts.
 * @throws Error with what ngspice printed, where it found no operating point
 */
export function operatingPoint(netlist: readonly string[], expressions: readonly string[]): number[] {
  const run = spawnSync('ngspice', ['-b'], {
    input: [
      ...netlist,
      '.options reltol=1e-9 abstol=1e-7 vntol=1e-10 gmin=1e-18',
      '.control', 'set numdgt=15', 'op',
      ...expressions.map((expression, i) => `let answer${i} = ${expression}\nprint answer${i}`),
      'quit', '.endc', '.end', '',
    ].join('\n'),
    encoding: 'utf8',
    maxBuffer: 1 << 26,
    timeout: PATIENCE_MS,
  });
  const said = new Map<number, number>();
  for (const [, i, value] of run.stdout.matchAll(/^answer(\d+) = (\S+)$/gm)) said.set(Number(i), Number(value));
  return expressions.map((expression, i) => {
    const value = said.get(i);
    if (value === undefined || !Number.isFinite(value)) {
      throw new Error(`ngspice gave no value of ${expression}:\n${run.stdout}\n${run.stderr}`);
    }
    return value;
  });
}
