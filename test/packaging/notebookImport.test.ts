import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';

// Inside notebooks, where a notebook of a user stands: tslab's root is the notebook's folder.
const folder = mkdtempSync(join('notebooks', '.try-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function cell(code: string) {
  const file = join(folder, 'cell.ts');
  writeFileSync(file, code);
  const run = spawnSync(process.execPath, ['test/tools/runNotebook.mjs', file], { encoding: 'utf8' });
  return { code: run.status, out: run.stdout, err: run.stderr };
}

describe('a tslab notebook', () => {
  it('imports slotcast by name with its types, runs a study on worker threads, and makes a danfo frame', () => {
    const { code, out, err } = cell(`
import * as danfo from 'danfojs-node';
import { loadStudy, runStudy, scenarioFrame, summarise, type Summary } from 'slotcast';
const { study, inputs } = loadStudy('../../data-demo/deep-bar-anywhere.json');
const run = await runStudy({ ...study, scenarios: 300 }, { workers: 2 });
const summary: Summary = summarise(run, inputs);
const frame = scenarioFrame(danfo, run);
const lowest = frame.groupby(['placementClass']).col(['ratedKw']).min();
console.log('rows', frame.shape[0], 'classes', lowest.shape[0], 'lowest', summary.lowestKw);
`);
    expect(err).toBe('');
    expect(code).toBe(0);
    expect(out).toMatch(/rows 300 classes [2-7] lowest \d+/);
  });

  it('stops on a type error, so the types do reach the notebook', () => {
    const { code, err } = cell("import { loadStudy } from 'slotcast';\nconst n: number = loadStudy('x');");
    expect(code).toBe(1);
    expect(err).toMatch(/LoadedStudy/);
  });
});
