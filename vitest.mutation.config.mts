import { defineConfig } from 'vitest/config';

/** The quick tests of what computes numbers, for mutation testing. */
export default defineConfig({
  test: {
    include: (process.env.MUTATION_TESTS ?? 'test/statistics,test/ladder,test/worst,test/published').split(',').map((one) => (one.endsWith('.ts') ? one : `${one}/**/*.test.ts`)),
    exclude: ['test/statistics/coverage.test.ts', 'test/ladder/absurdRacks.test.ts'],
    testTimeout: 60_000,
  },
});
