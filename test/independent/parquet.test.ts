/** scenarios.parquet as other libraries read it: names, types, numbers of rows, and the values of scenarios.csv. */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { loadStudy, runStudy, SCENARIO_FIELDS, type Study, writeScenarioParquet } from 'slotcast';
import { afterAll, describe, expect, it } from 'vitest';
import { sayWhy } from './python.js';

const PYTHON = resolve('.venv/bin/python');
const has = (module: string): boolean => spawnSync(PYTHON, ['-c', `import ${module}`], { encoding: 'utf8' }).status === 0;
const [hasArrow, hasPolars] = [has('pyarrow'), has('polars')];
sayWhy(hasArrow && hasPolars, 'the Parquet tests need pyarrow and polars in .venv');

const folder = mkdtempSync(join(tmpdir(), 'slotcast-parquet-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const { study: deep } = loadStudy('data-demo/deep-bar-anywhere.json');
/** Nothing drawn but the inlet: the other quantities are "as the rack file says". */
const plain: Study = { ...deep, uncertain: { ...deep.uncertain, perScenario: { inlet: deep.uncertain.perScenario.inlet } } as Study['uncertain'] };

interface Read {
  readonly rows: number;
  readonly groups: number;
  readonly types: Record<string, string>;
  readonly columns: Record<string, (number | string | null)[]>;
}

function byPython<T>(code: string, path: string): T {
  const { status, stdout, stderr } = spawnSync(PYTHON, ['-c', code, path], { encoding: 'utf8', maxBuffer: 1 << 28 });
  if (status !== 0) throw new Error(stderr);
  return JSON.parse(stdout) as T;
}

function read(path: string): Read {
  const code = 'import sys,json,pyarrow.parquet as p;f=p.ParquetFile(sys.argv[1]);t=f.read();'
    + 'print(json.dumps({"rows":t.num_rows,"groups":f.num_row_groups,"types":{c.name:str(c.type) for c in t.schema},'
    + '"columns":{c:t.column(c).to_pylist() for c in t.column_names}}))';
  return byPython<Read>(code, path);
}

describe.skipIf(!hasArrow)('scenarios.parquet read by Arrow', () => {
  it('has one row per scenario in the order drawn, the columns of the CSV, and their values', async () => {
    const run = await runStudy({ ...deep, scenarios: 700 });
    // One that could not be rated.
    run.table.columns.rated[13] = 2;
    const path = join(folder, 'deep.parquet');
    await writeScenarioParquet(path, run);
    const { rows, types, columns } = read(path);
    expect(rows).toBe(700);
    expect(Object.keys(columns)).toEqual(SCENARIO_FIELDS.map(({ name }) => name));
    expect(types).toMatchObject({ scenario: 'int32', ratedKw: 'double', limit: 'string', slot: 'int32', filmFactor: 'float' });
    for (const { name, at } of SCENARIO_FIELDS) {
      columns[name].forEach((value, i) => {
        const expected = i === 13 && name !== 'scenario' ? null : at(run.table.columns, i);
        // The CSV keeps seven digits of single precision, rounded once more here, and thousandths of a degree of the inlet.
        if (typeof expected !== 'number') expect(value).toBe(expected);
        else expect(Math.abs(Number(value) - expected)).toBeLessThanOrEqual(name === 'inletC' ? 5e-4 : 5.6e-7 * Math.abs(expected));
      });
    }
  });

  it('keeps quantities that are not drawn empty, and more rows than one group', async () => {
    const run = await runStudy({ ...plain, scenarios: 300 });
    const many = { ...run, scenarios: 300 };
    const path = join(folder, 'plain.parquet');
    await writeScenarioParquet(path, many);
    const { columns } = read(path);
    expect(new Set(columns.emissivity)).toEqual(new Set([null]));
    expect(columns.ratedKw.every((kw) => typeof kw === 'number')).toBe(true);
    const big = await runStudy({ ...plain, scenarios: 300 });
    const table = Object.create(big.table, { columns: { value: Object.fromEntries(Object.entries(big.table.columns).map(([name, column]) => {
      const Type = column.constructor as Float64ArrayConstructor;
      return [name, Type.from({ length: 120_000 }, (_, i) => column[i % 300])];
    })) } });
    await writeScenarioParquet(path, { ...big, table, scenarios: 120_000 });
    const large = read(path);
    expect(large.rows).toBe(120_000);
    expect(large.groups).toBe(6);
    expect(large.columns.scenario[119_999]).toBe(119_999);
    expect(large.columns.ratedKw[119_999]).toBe(columns.ratedKw[119_999 % 300]);
  });
});

describe.skipIf(!hasArrow || !hasPolars)('scenarios.parquet read by polars', () => {
  it('has the rows, columns and values that Arrow finds, types included', async () => {
    const run = await runStudy({ ...deep, scenarios: 700 });
    run.table.columns.rated[13] = 2;
    const path = join(folder, 'polars.parquet');
    await writeScenarioParquet(path, run);
    const code = 'import sys,json,polars;t=polars.read_parquet(sys.argv[1]);'
      + 'print(json.dumps({"rows":t.height,"types":{k:str(v) for k,v in t.schema.items()},"columns":t.to_dict(as_series=False)}))';
    const { rows, types, columns } = byPython<Omit<Read, 'groups'>>(code, path);
    expect(rows).toBe(700);
    expect(types).toMatchObject({ scenario: 'Int32', ratedKw: 'Float64', limit: 'String', slot: 'Int32', filmFactor: 'Float32' });
    expect(columns).toEqual(read(path).columns);
  });
});
