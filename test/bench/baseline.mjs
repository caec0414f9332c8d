/** The SciPy baseline, kept running for timed passes. */
import { spawnSync } from 'node:child_process';
import { existsSync, rmSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { Companion } from './reference.mjs';

const HERE = dirname(fileURLToPath(import.meta.url));
const VERSIONS = `import sys, numpy, scipy
print(f"Python {sys.version.split()[0]}, NumPy {numpy.__version__}, SciPy {scipy.__version__}")`;
/** The project's own environment first. */
const PROGRAMS = [join(HERE, '..', '..', '.venv', 'bin', 'python'), 'python3'];

/** A Python that has SciPy, with its versions; null where there is none. */
export function findPython() {
  for (const program of PROGRAMS) {
    if (program !== 'python3' && !existsSync(program)) continue;
    const run = spawnSync(program, ['-c', VERSIONS], { encoding: 'utf8' });
    if (run.status === 0) return { program, versions: run.stdout.trim() };
  }
  return null;
}

export class Baseline {
  #companion;

  constructor(companion, rows) {
    this.#companion = companion;
    this.rows = rows;
  }

  static async open(folder, program, rack, scenarios) {
    const input = join(folder, `${process.pid}-baseline.json`);
    writeFileSync(input, JSON.stringify({ rack, scenarios }));
    const companion = new Companion(program, [join(HERE, 'baseline.py'), input]);
    const powers = JSON.parse(await companion.line());
    rmSync(input);
    return new Baseline(companion, powers.map((power) => ({ power })));
  }

  /** `seconds` of a pass over all scenarios, and of its `stages`. */
  async pass() {
    return JSON.parse(await this.#companion.ask(''));
  }

  async end() {
    await this.#companion.end();
  }
}
