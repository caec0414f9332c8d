/** The bundled command line: what it is made of, and under which licences. */
import { readdirSync, readFileSync } from 'node:fs';
import { expect, it } from 'vitest';

const text = (file: string) => readFileSync(`dist/program/${file}`, 'utf8');

it('the command of the package is the bundle, which holds the small packages and leaves the others outside', () => {
  const { bin } = JSON.parse(readFileSync('package.json', 'utf8'));
  expect(bin.slotcast).toBe('./dist/program/main.js');
  const files = readdirSync('dist/program').filter((file) => file.endsWith('.js'));
  expect(files.length).toBeLessThan(80);
  const wanted = new Set(files.flatMap((file) => [...text(file).matchAll(/(?:require|import)\("([^."][^"]*)"\)/g)].map((found) => found[1])));
  const packages = [...wanted].filter((name) => !name.startsWith('node:')).sort();
  expect(packages.filter((name) => /^(@stdlib|zod|commander|csv-parse|seedrandom|simple-statistics)/.test(name))).toEqual([]);
  expect(packages).toContain('piscina');
});

it('names every package in it with its licence', () => {
  const notices = text('NOTICES.txt');
  for (const name of ['@stdlib/math-base-special-erfcinv', 'zod', 'commander', 'csv-parse', 'seedrandom', 'simple-statistics']) {
    expect(notices).toMatch(new RegExp(`^${name} \\d+\\.\\d+\\.\\d+: \\S+`, 'm'));
  }
  expect(notices).toMatch(/Apache License/);
  expect(notices).toMatch(/Permission is hereby granted, free of charge/);
  // No path of the machine that built it.
  for (const file of ['main.js', 'worker.js', 'NOTICES.txt']) expect(text(file)).not.toContain(process.cwd());
});
