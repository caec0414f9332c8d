import { defineConfig } from 'vitest/config';

/** The quick tests of what computes numbers, for mutation testing. */
export default defineConfig({
  test: {
    include: (process.env.MUTATION_TESTS ?? 'test/statistics,test/ladder,test/worst,test/published').split(',').map((one) => (one.endsWith('.ts') ? one : `${one}/**/*.test.ts`)),
    // Long simulations say little more of a single mutant than the others do.
    exclude: [
      'test/statistics/coverage.test.ts', 'test/statistics/sobolIndices.test.ts', 'test/statistics/pairedQuantile.test.ts',
      'test/statistics/percentileChanges.test.ts', 'test/statistics/rankCorrelationInterval.test.ts', 'test/ladder/absurdRacks.test.ts',
    ],
    testTimeout: 60_000,
  },
});
