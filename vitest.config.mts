import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    include: ['test/**/*.test.ts'],
    testTimeout: 120_000,
    hookTimeout: 120_000,
    // Half of the cores is the default: on two it would be one.
    maxWorkers: '100%',
  },
});
