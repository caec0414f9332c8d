/**
 * Runs the notebooks headless through Jupyter and the tslab kernel, and writes them with their outputs: into notebooks/,
 * as committed, or, with SLOTCAST_STUDY, SLOTCAST_COPPER or SLOTCAST_LOAD set, into results/notebooks, for files of your own.
 *
 * usage: node notebooks.mjs [NAME ...]   e.g. 01-rating-envelope; without names all of them
 */
import { spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { jupyterEnvironment, OWN_FILES, prepareJupyter, program, root } from './jupyter.mjs';
import { tidyNotebook } from './notebookFile.mjs';

const { status } = spawnSync(process.execPath, [join(root, 'test', 'tools', 'build.mjs')], { stdio: 'inherit' });
if (status !== 0) process.exit(status ?? 1);
prepareJupyter();

const folder = join(root, 'notebooks');
const named = process.argv.slice(2);
const names = readdirSync(folder).filter((name) => name.endsWith('.ipynb'))
  .filter((name) => named.length === 0 || named.some((one) => name === one || name === `${one}.ipynb`));
if (names.length === 0) {
  console.error(`No notebook of these names: ${named.join(', ')}`);
  process.exit(2);
}
const isOwn = OWN_FILES.some((name) => process.env[name] !== undefined);
const target = isOwn ? join(root, 'results', 'notebooks') : folder;
mkdirSync(target, { recursive: true });
const scratch = mkdtempSync(join(tmpdir(), 'slotcast-notebooks-'));
let failed = 0;
for (const name of names) {
  const started = performance.now();
  const run = spawnSync(program('jupyter'), [
    'nbconvert', '--to', 'notebook', '--execute', '--log-level=ERROR', '--ExecutePreprocessor.timeout=300',
    '--output-dir', scratch, join(folder, name),
  ], { env: jupyterEnvironment(), cwd: folder, encoding: 'utf8' });
  const seconds = ((performance.now() - started) / 1000).toFixed(1);
  if (run.status !== 0) {
    failed++;
    console.error(`${name}: failed after ${seconds} s\n${run.stderr}`);
    continue;
  }
  const text = tidyNotebook(readFileSync(join(scratch, name), 'utf8'));
  writeFileSync(join(target, name), text);
  console.log(`${name}: ${seconds} s, ${Math.round(Buffer.byteLength(text) / 1024)} kB`);
}
rmSync(scratch, { recursive: true, force: true });
process.exit(failed === 0 ? 0 : 1);
