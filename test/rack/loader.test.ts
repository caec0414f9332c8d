import { execFileSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { mkdirSync, mkdtempSync, readFileSync, rmSync, truncateSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { loadRack, loadStudy } from '../../lib/rack/index.js';
import { applied, CATALOGUE, changed, expectOne, problemsOf, RACK, STUDY, type BadCase, whereOf } from './fixtures.js';

const INVENTORY = 'rack,bottomSlot,heightSlots,equipment,powerKw\na,1,1,node,1.5\n';
const CONTACTS = 'sample,contactMicroOhm\n1,80\n2,95\n';
const FULL = applied(STUDY, [
  ['loads', { draw: 'inventory', file: 'data/inv.csv', places: 'shuffled' }],
  ['uncertain', { loadContactMicroOhm: { distribution: 'measured', file: 'data/m.csv', column: 'contactMicroOhm' } }],
]);

let folder: string;
const at = (name: string): string => join(folder, name);
const write = (name: string, content: unknown): void => {
  const isRaw = typeof content === 'string' || content instanceof Uint8Array;
  writeFileSync(at(name), isRaw ? content : JSON.stringify(content));
};

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'slotcast-rack-'));
  mkdirSync(at('data'));
  write('rack.json', RACK);
  write('catalogue.json', CATALOGUE);
  write('study.json', FULL);
  write('data/inv.csv', INVENTORY);
  write('data/m.csv', CONTACTS);
});
afterEach(() => rmSync(folder, { recursive: true }));

describe('a study file', () => {
  it('is loaded with everything it refers to, and each input by its digest', () => {
    const { study, inputs } = loadStudy(at('study.json'));
    expect(study.rack.name).toBe('test rack');
    expect(study.loads).toMatchObject({ draw: 'inventory', racks: [{ rack: 'a', units: [{ power: 1500 }] }] });
    expect(study.uncertain.loadContact).toEqual({ distribution: 'measured', values: [80e-6, 95e-6] });
    expect(inputs.map(({ path }) => path)).toEqual(
      ['study.json', 'rack.json', 'catalogue.json', 'data/inv.csv', 'data/m.csv']);
    for (const { path, sha256 } of inputs) {
      expect(sha256).toBe(createHash('sha256').update(readFileSync(at(path))).digest('hex'));
    }
  });

  it('names a file it uses twice once', () => {
    const distribution = { distribution: 'measured', file: 'data/m.csv', column: 'contactMicroOhm' };
    write('study.json', changed(FULL, 'uncertain', {
      loadContactMicroOhm: distribution, sourceContactMicroOhm: distribution,
    }));
    expect(loadStudy(at('study.json')).inputs).toHaveLength(5);
  });

  it('may begin with a byte order mark', () => {
    write('rack.json', `\uFEFF${JSON.stringify(RACK)}`);
    expect(loadRack(at('rack.json')).slotCount).toBe(10);
  });
});

interface FileCase extends Omit<BadCase, 'change'> {
  readonly write: readonly [name: string, content: unknown];
  /** File the problem belongs to. */
  readonly file: string;
}

const missing = (key: string, value: string) => ['study.json', changed(FULL, key, value)] as const;

const BAD: FileCase[] = [
  {
    says: 'the rack file does not exist', write: missing('rack', 'none.json'), file: 'study.json',
    path: 'rack', found: /^a file that does not exist: .*none\.json$/,
    allowed: 'give the path of a file, relative to the study file',
  },
  {
    says: 'the catalogue is a folder', write: missing('catalogue', 'data'), file: 'study.json',
    path: 'catalogue', found: /^a file that is a folder/, allowed: /relative to the study file/,
  },
  {
    says: 'the inventory does not exist', write: missing('loads.file', 'data/none.csv'), file: 'study.json',
    path: 'loads.file', found: /does not exist/, allowed: /relative to the study file/,
  },
  {
    says: 'the measurements do not exist',
    write: missing('uncertain.loadContactMicroOhm.file', 'x.csv'), file: 'study.json',
    path: 'uncertain.loadContactMicroOhm.file', found: /does not exist/, allowed: /relative to the study file/,
  },
  {
    says: 'the study is not JSON',
    write: ['study.json', '{\n  "format": "slotcast-study/1",\n  name: 1\n}'], file: 'study.json',
    path: 'line 3, column 3', found: '"name"', allowed: /double quotes/,
  },
  {
    says: 'the rack is not JSON', write: ['rack.json', '{"a": 1,}'], file: 'rack.json',
    path: 'line 1, column 9', found: '"}"', allowed: /no comma after the last entry/,
  },
  {
    says: 'the catalogue has a key twice', write: ['catalogue.json', '{"name": 1,\n"name": 2}'], file: 'catalogue.json',
    path: 'line 2, column 1', found: 'the key "name" a second time in one object', allowed: /each key once/,
  },
  {
    says: 'the rack has a prototype key', write: ['rack.json', '{"__proto__": {}}'], file: 'rack.json',
    path: 'line 1, column 2', found: 'the key "__proto__"', allowed: /remove it/,
  },
  {
    says: 'the rack is not UTF-8', write: ['rack.json', Buffer.from('{\n"name": "\xe9"}', 'latin1')], file: 'rack.json',
    path: 'line 2', found: 'bytes that are not UTF-8 text', allowed: 'save the file as UTF-8',
  },
  {
    says: 'the inventory is UTF-16',
    write: ['data/inv.csv', Buffer.from(`\uFEFF${INVENTORY}`, 'utf16le')], file: 'data/inv.csv',
    path: '', found: 'UTF-16 text', allowed: 'save the file as UTF-8',
  },
  {
    says: 'the rack has a mistake', write: ['rack.json', changed(RACK, 'slots.pitchMm', -1)], file: 'rack.json',
    path: 'slots.pitchMm', found: '-1', allowed: /above 0/,
  },
  {
    says: 'the catalogue has a mistake', write: ['catalogue.json', changed(CATALOGUE, 'loads[0].contactSlot', 2)],
    file: 'catalogue.json', path: 'loads[0].contactSlot', found: '2', allowed: /1 slots? high/,
  },
  {
    says: 'the inventory has a mistake', write: ['data/inv.csv', `${INVENTORY}a,1,1,node,1\n`], file: 'data/inv.csv',
    path: 'line 3, column bottomSlot', found: 'slot 1', allowed: /line 2 takes slot 1/,
  },
  {
    says: 'the inventory does not suit the catalogue',
    write: ['data/inv.csv', `${INVENTORY}a,2,1,other,1\n`], file: 'data/inv.csv',
    path: 'rack a, bottomSlot 2, column equipment', found: '"other"', allowed: /load of the catalogue/,
  },
  {
    says: 'the measurements have no such column', write: ['data/m.csv', 'contact\n1\n'], file: 'data/m.csv',
    path: 'line 1', found: 'no column "contactMicroOhm"', allowed: /the columns of this file are "contact"/,
  },
  {
    says: 'the study is a rack', write: ['study.json', RACK], file: 'study.json',
    path: 'format', found: '"slotcast-rack/1"', allowed: 'write "slotcast-study/1": a study file is expected here',
  },
];

describe('a study file is refused with exactly one message where', () => {
  for (const { says, write: [name, content], file, ...expected } of BAD) {
    it(says, () => {
      write(name, content);
      expectOne(problemsOf(() => loadStudy(at('study.json'))), at(file), expected);
    });
  }

  it('it does not exist itself', () => {
    expectOne(problemsOf(() => loadStudy(at('none.json'))), at('none.json'),
      { path: '', found: 'a file that does not exist', allowed: 'give the path of a file' });
  });
});

describe('a rack file by itself', () => {
  it('is refused with exactly one message where it does not exist', () => {
    expectOne(problemsOf(() => loadRack(at('none.json'))), at('none.json'),
      { path: '', found: 'a file that does not exist', allowed: 'give the path of a file' });
  });
});

describe('mistakes in several files', () => {
  it('are reported together: study, rack, catalogue, inventory and measurements', () => {
    write('study.json', changed(FULL, 'scenarios', 0));
    write('rack.json', changed(RACK, 'limits', {}));
    write('catalogue.json', '{');
    write('data/inv.csv', `${INVENTORY}a,0,1,node,1\n`);
    write('data/m.csv', 'contactMicroOhm\nx\n');
    const problems = problemsOf(() => loadStudy(at('study.json')));
    expect(problems.map((problem) => [problem.file, whereOf(problem)])).toEqual([
      [at('study.json'), 'scenarios'],
      [at('rack.json'), 'limits'],
      [at('catalogue.json'), 'line 1, column 2'],
      [at('data/inv.csv'), 'line 3, column bottomSlot'],
      [at('data/m.csv'), 'line 2, column contactMicroOhm'],
    ]);
  });
});

describe('what is no file of a sensible size', () => {
  /** A file that takes no room on the disk. */
  const hugeFile = (name: string): string => {
    write(name, '');
    truncateSync(at(name), 100_000_000);
    return at(name);
  };

  it('a hundred megabytes, a pipe or a device, is refused before it is opened', () => {
    const huge = hugeFile('huge.json');
    for (const read of [() => loadStudy(huge), () => loadRack(huge)]) {
      expect(problemsOf(read)).toEqual([expect.objectContaining({
        found: `a file of 100000000 bytes: ${huge}`, allowed: 'give a file of at most 20000000 bytes',
      })]);
    }
    if (process.platform === 'win32') return;
    execFileSync('mkfifo', [at('pipe')]);
    for (const path of [at('pipe'), '/dev/zero']) {
      expect(problemsOf(() => loadRack(path))).toEqual([expect.objectContaining({ found: `something that is not a file: ${path}` })]);
    }
  });

  it('is named where the study names it', () => {
    hugeFile('data/huge.csv');
    write('study.json', JSON.stringify(changed(FULL, 'loads.file', 'data/huge.csv'), null, 2));
    const problems = problemsOf(() => loadStudy(at('study.json')));
    expect(problems).toEqual([expect.objectContaining({ path: 'loads.file', found: expect.stringMatching(/^a file of 100000000 bytes/) })]);
    expect(problems[0].line).toBeGreaterThan(1);
  });
});
