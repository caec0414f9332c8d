/** Mutation testing of what computes numbers; see DEVELOPERS.md. `npx stryker run --mutate 'lib/statistics/**'` for one folder. */
export default {
  testRunner: 'vitest',
  plugins: ['@stryker-mutator/vitest-runner'],
  vitest: { configFile: 'vitest.mutation.config.mts', related: false },
  coverageAnalysis: 'perTest',
  mutate: ['lib/statistics/**/*.ts', 'lib/ladder/**/*.ts', 'lib/worst/**/*.ts', '!lib/**/index.ts', '!lib/**/*.d.ts', '!lib/ladder/kernel/**'],
  ignorePatterns: ['results', 'dist', '.venv', 'notebooks'],
  ignoreStatic: true,
  concurrency: 2,
  timeoutMS: 20_000,
  timeoutFactor: 3,
  reporters: ['clear-text', 'json', 'progress-append-only'],
  jsonReporter: { fileName: 'results/mutation.json' },
  tempDirName: 'results/stryker',
};
