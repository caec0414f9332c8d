import { defineConfig } from 'vitest/config';

const named = process.env.MUTATION_TESTS?.split(',') ?? [];
// Long simulations say little more of a single mutant than the others do; named, they run all the same.
const long = [
  'test/statistics/coverage.test.ts', 'test/statistics/sobolIndices.test.ts', 'test/statistics/pairedQuantile.test.ts',
  'test/statistics/percentileChanges.test.ts', 'test/statistics/rankCorrelationInterval.test.ts', 'test/ladder/absurdRacks.test.ts',
];

/** The quick tests of what computes numbers, for mutation testing. */
export default defineConfig({
  test: {
    include: (named.length > 0 ? named : ['test/statistics', 'test/ladder', 'test/worst', 'test/published'])
      .map((one) => (one.endsWith('.ts') ? one : `${one}/**/*.test.ts`)),
    exclude: long.filter((one) => !named.includes(one)),
    testTimeout: 300_000,
  },
});
