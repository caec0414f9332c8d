/**
 * Runs the code cells of a notebook (or a TypeScript file as one cell) through tslab's own engine, in the notebook's
 * folder as the kernel does. Exit code 1 with the failing cell's diagnostics where a cell does not compile or throws.
 *
 * usage: node runNotebook.mjs FILE [--outputs JSON]   with what each cell shows, as [cell][output]{media type: content}
 */
import { readFileSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, resolve } from 'node:path';
import { codeCells } from './notebookFile.mjs';

const file = resolve(process.argv[2]);
const outputs = process.argv[3] === '--outputs' ? resolve(process.argv[4]) : null;
const text = readFileSync(file, 'utf8');
const cells = file.endsWith('.ipynb') ? codeCells(JSON.parse(text)) : [text];

process.chdir(dirname(file));
const require = createRequire(import.meta.url);
const { createConverter } = require('tslab/dist/converter');
const { createExecutor } = require('tslab/dist/executor');
// Where the kernel keeps the writer of the running cell.
const kernel = require('tslab/dist/jupyter');

/** Outputs of the running cell; an update replaces the one of the same id wherever it stands. */
let shown = [];
const byId = new Map();
kernel.lastWriteDisplayData = ({ data, transient }, isUpdate) => {
  const id = transient?.display_id;
  if (isUpdate && byId.has(id)) {
    byId.get(id).data = data;
    return;
  }
  const output = { data };
  if (id !== undefined) byId.set(id, output);
  shown.push(output);
};

const node = createConverter({ isJS: false, isBrowser: false });
const converters = { node, browser: node, close: () => node.close() };
const executor = createExecutor(process.cwd(), converters, console);
const all = [];
for (const [index, source] of cells.entries()) {
  shown = [];
  all.push(shown);
  if (!(await executor.execute(source))) {
    console.error(`cell ${index + 1} failed:\n${source}`);
    process.exit(1);
  }
}
if (outputs !== null) writeFileSync(outputs, JSON.stringify(all.map((cell) => cell.map(({ data }) => data))));
process.exit(0);
