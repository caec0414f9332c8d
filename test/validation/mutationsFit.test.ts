/** Every deliberate break still fits the sources: one that does not would stop `npm run break-physics` long after the change. */
import { readFileSync } from 'node:fs';
import { pathToFileURL } from 'node:url';
import { expect, it } from 'vitest';

type Edit = readonly [file: string, from: string, to: string];

it('every break of the physics fits the sources exactly once', async () => {
  const { MUTATIONS } = await import(pathToFileURL('test/validation/mutations.mjs').href) as {
    MUTATIONS: readonly { readonly name: string; readonly edits: readonly Edit[] }[];
  };
  const misfits: string[] = [];
  for (const { name, edits } of MUTATIONS) {
    const texts = new Map<string, string>();
    for (const [file, from, to] of edits) {
      const text = texts.get(file) ?? readFileSync(file, 'utf8');
      if (text.split(from).length !== 2) misfits.push(`${name}: ${file}: ${from}`);
      texts.set(file, text.replace(from, () => to));
    }
  }
  expect(misfits).toEqual([]);
  expect(MUTATIONS.length).toBeGreaterThan(75);
});
