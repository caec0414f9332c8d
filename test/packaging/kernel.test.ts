import { readFileSync } from 'node:fs';
import { pathToFileURL } from 'node:url';
import { expect, it } from 'vitest';

it('the compiled kernel and its memory are those of their sources: `npm run kernel` renews them', async () => {
  const { compiledKernel, KERNEL_FILES } = await import(pathToFileURL('test/tools/kernel.mjs').href);
  const { code, memory } = await compiledKernel();
  expect(readFileSync(KERNEL_FILES.memory, 'utf8')).toBe(memory);
  expect(readFileSync(KERNEL_FILES.code, 'utf8')).toBe(code);
}, 60_000);
