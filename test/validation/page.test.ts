/**
 * The committed validation page against the checks themselves: the files of test/published are imported, so that their
 * checks run here once more and record into a file of this test's own, and what they recorded must be on the page. The
 * digits of `ours` may differ by one in the last place, as between versions of Node. Checks in test/independent need
 * other programs and do not run here: of theirs the page may show what their sources name.
 */
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';

interface Row {
  readonly cells: readonly string[];
  readonly lastDigit: number;
}

interface PageText {
  readonly publishedRows: (lines: readonly object[]) => Row[];
  readonly rowsOnPage: (page: string) => string[][];
}

const PUBLISHED = resolve('test/published');
const INDEPENDENT = readdirSync('test/independent').filter((entry) => entry.endsWith('.test.ts'))
  .map((entry) => readFileSync(join('test/independent', entry), 'utf8')).join('\n');
const OURS = 3;
const folder = mkdtempSync(join(tmpdir(), 'slotcast-page-'));
const file = join(folder, 'checks.jsonl');
const page = readFileSync('lib/ladder/VALIDATION.md', 'utf8');
const before = process.env.SLOTCAST_CHECKS;

beforeAll(() => {
  process.env.SLOTCAST_CHECKS = file;
});

afterAll(() => {
  if (before === undefined) delete process.env.SLOTCAST_CHECKS;
  else process.env.SLOTCAST_CHECKS = before;
  rmSync(folder, { recursive: true, force: true });
});

describe('checks', async () => {
  for (const name of readdirSync(PUBLISHED).filter((entry) => entry.endsWith('.test.ts'))) {
    await import(pathToFileURL(join(PUBLISHED, name)).href);
  }
});

/** All columns but `ours` and the difference or error that follows from it. */
const fixedCells = (cells: readonly string[]) => cells.filter((_, i) => i !== OURS && i !== OURS + 1).join(' | ');

describe('the validation page (npm run validation writes it)', () => {
  it('shows every check with the value, source, tolerance and verdict it has, and no other', async () => {
    const { publishedRows, rowsOnPage } = await pageText();
    const recorded = publishedRows(recordedLines());
    expect(recorded.length).toBeGreaterThan(90);
    const shown = new Map(rowsOnPage(page).map((cells) => [fixedCells(cells), cells]));
    const expected = new Set(recorded.map(({ cells }) => fixedCells(cells)));
    expect([...expected].filter((row) => !shown.has(row)), 'missing on the page').toEqual([]);
    const stale = [...shown]
      .filter(([row, [quantity]]) => !expected.has(row) && !INDEPENDENT.includes(`'${quantity}'`));
    expect(stale.map(([row]) => row), 'no longer among the checks').toEqual([]);
    for (const { cells, lastDigit } of recorded) {
      const there = shown.get(fixedCells(cells)) ?? [];
      const difference = Math.abs(Number.parseFloat(there[OURS]) - Number.parseFloat(cells[OURS]));
      expect(difference, `ours on the page: ${cells[0]}`).toBeLessThan(1.5 * lastDigit);
    }
  });

  it('says the counts that reports quote', () => {
    const { met, notMet, fromMemory } = JSON.parse(readFileSync('lib/ladder/validation/counts.json', 'utf8'));
    expect(page).toContain(`${met} published values are met, ${notMet} are not; ${fromMemory} are quoted from memory.`);
    expect(rowCount(' met |')).toBe(met);
    expect(rowCount(' not met |')).toBe(notMet);
  });

  it('links pictures that exist', () => {
    const links = [...page.matchAll(/\]\((validation\/[^)]+)\)/g)].map(([, link]) => link);
    expect(links.length).toBeGreaterThanOrEqual(6);
    for (const link of links) expect(existsSync(join('lib/ladder', link)), link).toBe(true);
  });
});

/** Rows of the page that end so; a row that is not met does not count as met. */
function rowCount(verdict: string): number {
  return page.split('\n').filter((line) => line.startsWith('| ') && line.endsWith(` |${verdict}`)).length;
}

function recordedLines(): object[] {
  return readFileSync(file, 'utf8').split('\n').filter((line) => line !== '').map((line) => JSON.parse(line) as object);
}

async function pageText(): Promise<PageText> {
  return await import(pathToFileURL(resolve('test/validation/pageText.mjs')).href) as PageText;
}
