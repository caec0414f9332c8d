/**
 * Runs the code cells of a notebook (or a TypeScript file as one cell) through tslab's own engine, in the notebook's
 * folder as the kernel does. Exit code 1 with the failing cell's diagnostics where a cell does not compile or throws.
 *
 * usage: node runNotebook.mjs FILE
 */
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, resolve } from 'node:path';

const file = resolve(process.argv[2]);
const text = readFileSync(file, 'utf8');
const cells = file.endsWith('.ipynb')
  ? JSON.parse(text).cells.filter((cell) => cell.cell_type === 'code').map((cell) => [cell.source].flat().join(''))
  : [text];

process.chdir(dirname(file));
const require = createRequire(import.meta.url);
const { createConverter } = require('tslab/dist/converter');
const { createExecutor } = require('tslab/dist/executor');
const node = createConverter({ isJS: false, isBrowser: false });
const converters = { node, browser: node, close: () => node.close() };
const executor = createExecutor(process.cwd(), converters, console);
for (const [index, source] of cells.entries()) {
  if (!(await executor.execute(source))) {
    console.error(`cell ${index + 1} failed:\n${source}`);
    process.exit(1);
  }
}
process.exit(0);
