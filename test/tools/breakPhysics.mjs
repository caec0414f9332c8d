/**
 * Breaks the physics and the statistics one way at a time (test/validation/mutations.mjs) in a copy of this repository
 * and runs the fast tests of the broken folder there, and the slow ones where the fast ones notice nothing: each break
 * must be caught. Prints which test files caught it; exits 1 where one survives.
 * `node test/tools/breakPhysics.mjs joint bond` runs only the breaks whose name contains `joint` or `bond`.
 */
import { spawnSync } from 'node:child_process';
import { cpSync, mkdtempSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, dirname, join, relative, sep } from 'node:path';
import { fileURLToPath } from 'node:url';
import { MUTATIONS } from '../validation/mutations.mjs';

const root = join(dirname(fileURLToPath(import.meta.url)), '..', '..');
const LEFT_OUT = new Set(['node_modules', 'dist', 'results', '.git', '.venv']);
const STATISTICS = ['test/statistics', 'test/published/statistics', '--exclude', 'test/statistics/coverage.test.ts'];
/** Failed tests after which a run may stop. */
const ENOUGH = 4;
/** A break that keeps a solver busy for ever has been noticed too. */
const PATIENCE_MS = 240_000;

const KERNEL_SOURCES = 'lib/ladder/kernel/assembly/';
const KERNEL_CODE = 'lib/ladder/kernel/kernelCode.ts';

/** A break in the kernel's sources shows in what they are compiled to. @returns whether they can be compiled */
function compileKernel(copy) {
  const run = spawnSync(process.execPath, [join('test', 'tools', 'kernel.mjs')], { cwd: copy, encoding: 'utf8' });
  if (run.status !== 0) console.error(run.stderr);
  return run.status === 0;
}

/** The file with one edit made; the text to replace must stand there exactly once. */
function edited(text, [file, from, to], name) {
  const parts = text.split(from);
  if (parts.length !== 2) throw new Error(`${name}: ${file} holds ${parts.length - 1} times, not once: ${from}`);
  return parts.join(to);
}

/** Contents of every file that a mutation changes. */
function changed({ name, edits }) {
  const texts = new Map();
  for (const edit of edits) {
    const [file] = edit;
    texts.set(file, edited(texts.get(file) ?? readFileSync(join(root, file), 'utf8'), edit, name));
  }
  return texts;
}

/** Tests that could notice a break in a file, quickest first; a stage runs where those before noticed nothing. */
function stagesFor(files) {
  // rankSumLaw runs whole studies and absurdRacks looks at the solver alone; no fault of the parts should need them.
  const slow = ['test/ladder/balance.test.ts', 'test/ladder/ratedPower.test.ts', 'test/published/rankSumLaw.test.ts',
    'test/ladder/absurdRacks.test.ts'];
  if (files.every((file) => file.startsWith('lib/statistics'))) return [STATISTICS];
  return [['test/ladder', 'test/published', ...slow.flatMap((file) => ['--exclude', file])], slow.slice(0, 2)];
}

/** Runs the stages in the copy: names of the failed tests by file, or null where a stage did not end. */
function failedTests(copy, stages) {
  for (const stage of stages) {
    const report = join(copy, 'report.json');
    rmSync(report, { force: true });
    const run = spawnSync(process.execPath, [
      join('node_modules', 'vitest', 'vitest.mjs'), 'run', ...stage, `--bail=${ENOUGH}`, '--reporter=json',
      `--outputFile=${report}`,
    ], { cwd: copy, encoding: 'utf8', timeout: PATIENCE_MS, env: { ...process.env, SLOTCAST_CHECKS: '' } });
    if (run.error) return null;
    const failed = new Map();
    for (const { name, status, assertionResults } of JSON.parse(readFileSync(report, 'utf8')).testResults) {
      const titles = assertionResults.filter((result) => result.status === 'failed').map(({ fullName }) => fullName);
      // A file that breaks while it is read has no results of its own.
      if (titles.length > 0 || status === 'failed') failed.set(basename(name), titles);
    }
    if (run.status !== 0 && failed.size === 0) throw new Error(`vitest failed without a failed test:\n${run.stderr}`);
    if (failed.size > 0) return failed;
  }
  return new Map();
}

const wanted = process.argv.slice(2);
const chosen = MUTATIONS.filter(({ name }) => wanted.length === 0 || wanted.some((part) => name.includes(part)));
if (chosen.length === 0) throw new Error(`no break is named like "${wanted.join('", "')}"`);
// Before the first run, so that an edit that no longer fits is known at once.
const prepared = chosen.map((mutation) => ({ name: mutation.name, texts: changed(mutation) }));

const copy = mkdtempSync(join(tmpdir(), 'slotcast-broken-'));
let survived = 0;
try {
  cpSync(root, copy, { recursive: true, filter: (path) => !LEFT_OUT.has(relative(root, path).split(sep)[0]) });
  symlinkSync(join(root, 'node_modules'), join(copy, 'node_modules'), 'junction');
  const sound = failedTests(copy, [STATISTICS, ...stagesFor(['lib/ladder'])]);
  if (sound === null || sound.size > 0) {
    const which = sound === null ? 'no end' : [...sound.keys()].join(', ');
    throw new Error(`the tests fail before anything is broken: ${which}`);
  }
  console.log(`| broken | tests that fail, at most about ${ENOUGH} | in | one of them |\n|---|---|---|---|`);
  for (const { name, texts } of prepared) {
    const before = new Map([...texts.keys()].map((file) => [file, readFileSync(join(copy, file), 'utf8')]));
    const isInKernel = [...texts.keys()].some((file) => file.startsWith(KERNEL_SOURCES));
    for (const [file, text] of texts) writeFileSync(join(copy, file), text);
    const compiles = !isInKernel || compileKernel(copy);
    const failed = compiles ? failedTests(copy, stagesFor([...texts.keys()])) : new Map();
    for (const [file, text] of before) writeFileSync(join(copy, file), text);
    if (isInKernel) writeFileSync(join(copy, KERNEL_CODE), readFileSync(join(root, KERNEL_CODE)));
    const titles = failed === null ? [] : [...failed.values()].flat();
    if (failed?.size === 0) survived++;
    const row = failed === null ? ['no end', '', '']
      : failed.size === 0 ? [compiles ? 'SURVIVED' : 'DOES NOT COMPILE', '', '']
        : [String(titles.length), [...failed.keys()].join(', ').replaceAll('.test.ts', ''), titles[0] ?? ''];
    console.log(`| ${[name, ...row].map((cell) => cell.replaceAll('|', '\\|')).join(' | ')} |`);
  }
} finally {
  rmSync(copy, { recursive: true, force: true });
}
const all = chosen.length;
console.log(survived === 0 ? `\nAll ${all} breaks were caught.` : `\n${survived} of ${all} breaks survived.`);
process.exit(survived === 0 ? 0 : 1);
