/**
 * The committed notebooks against what their code shows today: every notebook is run through tslab's own engine, without
 * Python, and what each cell shows must be what the file holds. `npm run notebooks` writes the files.
 */
import { spawn } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { afterAll, describe, expect, it } from 'vitest';

const FOLDER = 'notebooks';
const names = readdirSync(FOLDER).filter((name) => name.endsWith('.ipynb'));
const scratch = mkdtempSync(join(tmpdir(), 'slotcast-committed-'));
afterAll(() => rmSync(scratch, { recursive: true, force: true }));

const PLOTLY = 'application/vnd.plotly.v1+json';
/** Relative: versions of Node differ in the last bits of exponentials. */
const SAME = 1e-6;

type Shown = Readonly<Record<string, unknown>>;
interface Cell {
  readonly cell_type: 'code' | 'markdown';
  readonly source: string | string[];
  readonly execution_count?: number | null;
  readonly outputs?: readonly { readonly output_type: string }[];
}

describe('the notebooks', () => {
  it('are those of this list', () => {
    expect(names).toEqual([
      '01-rating-envelope.ipynb', '02-capacity-report.ipynb', '03-rating-label.ipynb', '04-copper-study.ipynb',
      '05-what-moves-the-number.ipynb', '06-is-the-model-right.ipynb',
    ]);
  });

  for (const name of names) {
    it(`${name} shows what is committed`, async () => {
      const { representationsOf } = await notebookFile();
      const cells = cellsOf(name).filter(({ cell_type: type }) => type === 'code');
      expect(cells.map(({ execution_count: count }) => count), 'cells run in order, once').toEqual(cells.map((_, i) => i + 1));
      const committed = cells.map(({ outputs = [] }) => outputs.map((output) => representationsOf(output)));
      const shown = await run(name);
      expect(shown.length).toBe(committed.length);
      shown.forEach((outputs, c) => {
        expect(outputs.length, `outputs of code cell ${c + 1}`).toBe(committed[c].length);
        outputs.forEach((output, o) => {
          compare(output, committed[c][o], `code cell ${c + 1}, output ${o + 1}`);
        });
      });
    });

    it(`${name} is small enough for a code browser, shows a still picture of each figure, and no error`, () => {
      const text = readFileSync(join(FOLDER, name), 'utf8');
      expect(statSync(join(FOLDER, name)).size).toBeLessThan(2_000_000);
      expect(text).not.toMatch(/<script|text\/javascript/i);
      expect(text).not.toMatch(/"output_type": "error"/);
      const figures = text.match(/"application\/vnd\.plotly\.v1\+json"/g) ?? [];
      expect(figures.length).toBeGreaterThanOrEqual(3);
      expect(text.match(/"image\/png"/g)).toHaveLength(figures.length);
    });
  }
});

/** Everything but the still pictures, whose letters depend on the machine's fonts. */
function compare(shown: Shown, committed: Shown, where: string): void {
  const media = (output: Shown) => Object.keys(output).filter((type) => type !== 'image/png').sort();
  expect(media(shown), where).toEqual(media(committed));
  for (const type of media(shown)) {
    if (type === PLOTLY) expect(difference(shown[type], committed[type], ''), `${where}: stale, run npm run notebooks`).toBe('');
    else expect(shown[type], `${where}: stale, run npm run notebooks`).toBe(committed[type]);
  }
}

/** Path of the first difference of two JSON values; empty where there is none beyond rounding. */
function difference(a: unknown, b: unknown, path: string): string {
  if (typeof a === 'number' && typeof b === 'number') {
    return Math.abs(a - b) <= SAME * Math.max(1, Math.abs(a)) ? '' : `${path}: ${a} and ${b}`;
  }
  if (typeof a !== 'object' || typeof b !== 'object' || a === null || b === null) {
    return a === b ? '' : `${path}: ${JSON.stringify(a)} and ${JSON.stringify(b)}`;
  }
  const keys = new Set([...Object.keys(a), ...Object.keys(b)]);
  for (const key of keys) {
    const found = difference((a as Shown)[key], (b as Shown)[key], `${path}/${key}`);
    if (found !== '') return found;
  }
  return '';
}

function cellsOf(name: string): readonly Cell[] {
  return (JSON.parse(readFileSync(join(FOLDER, name), 'utf8')) as { readonly cells: readonly Cell[] }).cells;
}

/** What each code cell shows, run as the kernel does. */
async function run(name: string): Promise<Shown[][]> {
  const file = join(scratch, `${name}.json`);
  const { SLOTCAST_STUDY: _, SLOTCAST_COPPER: __, SLOTCAST_LOAD: ___, ...env } = process.env;
  const child = spawn(process.execPath, ['test/tools/runNotebook.mjs', join(FOLDER, name), '--outputs', file], { env });
  let said = '';
  for (const stream of [child.stdout, child.stderr]) stream.on('data', (text) => { said += text; });
  const code = await new Promise((resolve) => child.on('close', resolve));
  expect(said).toBe('');
  expect(code).toBe(0);
  return JSON.parse(readFileSync(file, 'utf8')) as Shown[][];
}

async function notebookFile(): Promise<{ readonly representationsOf: (output: object) => Shown }> {
  return await import(pathToFileURL('test/tools/notebookFile.mjs').href);
}
