/** The C reference: compiled when asked for, fed with a rack and its scenarios, and kept running for timed passes. */
import { spawn, spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';
import { packInput } from './packInput.mjs';

const SOURCE = join(dirname(fileURLToPath(import.meta.url)), 'reference.c');
const FLAGS = ['-O3', '-march=native'];
/** Numbers of a row of the program's output: power (W), sweeps, limit, node, pole. */
const ROW = 5;

/** A folder for this process alone, removed at its end. */
export function scratchFolder() {
  const folder = mkdtempSync(join(tmpdir(), 'slotcast-bench-'));
  process.on('exit', () => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

/** The compiler in words, or null where there is none. */
export function compilerVersion() {
  const run = spawnSync('gcc', ['-dumpfullversion'], { encoding: 'utf8' });
  return run.status === 0 ? `gcc ${run.stdout.trim()} ${FLAGS.join(' ')}` : null;
}

/**
 * Compiles reference.c into `folder`; the program's path.
 * @throws Error with the compiler's words where it does not compile
 */
export function compileReference(folder) {
  const program = join(folder, 'reference');
  if (existsSync(program)) return program;
  const run = spawnSync('gcc', [...FLAGS, '-Wall', '-Wextra', '-o', program, SOURCE, '-lm'], { encoding: 'utf8' });
  if (run.status !== 0) throw new Error(`reference.c does not compile: ${run.stderr}`);
  return program;
}

/** A program that answers every line on its standard input by one line. */
export class Companion {
  #lines;
  #child;
  #failed;

  constructor(program, args) {
    this.#child = spawn(program, args, { stdio: ['pipe', 'pipe', 'inherit'] });
    this.#lines = createInterface({ input: this.#child.stdout })[Symbol.asyncIterator]();
    this.#failed = new Promise((_, reject) => { this.#child.on('error', reject); });
    // Awaited with every line; a program that never starts must not end the process before.
    this.#failed.catch(() => {});
  }

  async line() {
    const { value, done } = await Promise.race([this.#lines.next(), this.#failed]);
    if (done) throw new Error(`the program ended before its answer (status ${this.#child.exitCode})`);
    return value;
  }

  async ask(text) {
    this.#child.stdin.write(`${text}\n`);
    return await this.line();
  }

  async end() {
    this.#child.stdin.end();
    if (this.#child.exitCode === null) await new Promise((resolve) => this.#child.once('exit', resolve));
  }
}

/** Rated powers and timed passes of the C reference over scenarios of one rack. */
export class Reference {
  #companion;

  constructor(companion, rows) {
    this.#companion = companion;
    this.rows = rows;
  }

  /**
   * @param folder where the program, its input and its output go
   * @param ladder `Ladder` of the rack
   */
  static async open(folder, ladder, scenarios) {
    const program = compileReference(folder);
    const name = `${process.pid}-${Reference.#count++}`;
    const input = join(folder, `${name}.in`);
    const output = join(folder, `${name}.out`);
    writeFileSync(input, packInput(ladder, scenarios));
    const companion = new Companion(program, [input, output]);
    await companion.line();
    const bytes = readFileSync(output);
    const numbers = new Float64Array(bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.byteLength));
    rmSync(input);
    rmSync(output);
    const rows = Array.from({ length: numbers.length / ROW }, (_, i) => ({
      power: numbers[ROW * i], sweeps: numbers[ROW * i + 1],
    }));
    return new Reference(companion, rows);
  }

  static #count = 0;

  /** Seconds of one pass over all scenarios, in which stage number `stage` runs `extra` times more than it must. */
  async pass(stage = 0, extra = 0) {
    return Number((await this.#companion.ask(`1 ${stage} ${extra}`)).split(' ')[0]);
  }

  async end() {
    await this.#companion.end();
  }
}
