import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, normalize } from 'node:path';
import { describe, expect, it } from 'vitest';

/** Data flows one way: a folder imports only from those before it. */
const ORDER = ['rack', 'draw', 'ladder', 'statistics', 'study', 'calibrate', 'worst', 'label', 'figure', 'report', 'notebook', 'cli'];

function sources(folder: string): string[] {
  return readdirSync(folder, { withFileTypes: true }).flatMap((entry) => {
    const path = join(folder, entry.name);
    return entry.isDirectory() ? sources(path) : entry.name.endsWith('.ts') ? [path] : [];
  });
}

const folderOf = (path: string) => path.split(/[/\\]/)[1];

describe('lib', () => {
  const files = sources('lib').filter((file) => file !== join('lib', 'index.ts'));

  it('has only folders with a place in the order', () => {
    for (const file of files) expect(ORDER).toContain(folderOf(file));
  });

  it('imports only from folders before', () => {
    const against: string[] = [];
    for (const file of files) {
      for (const [, target] of readFileSync(file, 'utf8').matchAll(/from '(\.[^']+)'/g)) {
        const other = folderOf(normalize(join(dirname(file), target)));
        if (ORDER.indexOf(other) > ORDER.indexOf(folderOf(file))) against.push(`${file} imports ${target}`);
      }
    }
    expect(against).toEqual([]);
  });

  it('keeps files, processes and clocks out of draw, ladder and statistics', () => {
    const against = files.filter((file) => ['draw', 'ladder', 'statistics'].includes(folderOf(file)))
      .filter((file) => /from 'node:|process\.|Date\.now|Math\.random/.test(readFileSync(file, 'utf8')));
    expect(against).toEqual([]);
  });
});
