/** How much is measured. */

const SIZES = {
  /** Some seconds: whether it runs at all. */
  trial: {
    rounds: 1, scenarios: 40, slowScenarios: 2, stageRounds: 1, heights: [16],
    studies: [200, 400], studyRounds: 1, workerStudies: [500], workerRounds: 1, commandStudies: [200], commandRounds: 1,
  },
  /** Less than a minute. */
  quick: {
    rounds: 3, scenarios: 600, slowScenarios: 6, stageRounds: 3, heights: [16, 64],
    studies: [1000, 10_000], studyRounds: 1, workerStudies: [10_000], workerRounds: 2,
    commandStudies: [10_000], commandRounds: 1,
  },
  /** Less than five minutes. */
  usual: {
    rounds: 11, scenarios: 2000, slowScenarios: 24, stageRounds: 9, heights: [16, 32, 64, 128],
    studies: [1000, 10_000, 100_000], studyRounds: 2,
    workerStudies: [10_000, 100_000], workerRounds: 3, commandStudies: [10_000, 100_000], commandRounds: 3,
  },
  full: {
    rounds: 31, scenarios: 4000, slowScenarios: 48, stageRounds: 25, heights: [16, 32, 64, 128],
    studies: [1000, 10_000, 100_000, 1_000_000], studyRounds: 3,
    workerStudies: [10_000, 100_000, 1_000_000], workerRounds: 5, commandStudies: [10_000, 100_000, 1_000_000], commandRounds: 5,
  },
};

export const USAGE = 'usage: node test/bench/bench.mjs [--trial | --quick | --full]';

/**
 * @param words of the command line
 * @throws RangeError for a word that is not known, and for both sizes at once
 */
export function readOptions(words) {
  const unknown = words.find((word) => !['--trial', '--quick', '--full'].includes(word));
  if (unknown !== undefined) throw new RangeError(`"${unknown}" is not known; ${USAGE}`);
  if (new Set(words).size > 1) throw new RangeError(`--trial, --quick and --full exclude each other; ${USAGE}`);
  const size = words[0]?.slice(2) ?? 'usual';
  return { size, ...SIZES[size] };
}
