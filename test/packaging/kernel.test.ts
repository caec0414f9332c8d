import { readFileSync } from 'node:fs';
import { pathToFileURL } from 'node:url';
import { expect, it } from 'vitest';

it('the compiled kernel is that of its sources: `npm run kernel` renews it', async () => {
  const { compiledKernel, KERNEL_FILE } = await import(pathToFileURL('test/tools/kernel.mjs').href);
  expect(readFileSync(KERNEL_FILE, 'utf8')).toBe(compiledKernel());
});
