/**
 * What the ladder leaves out by taking a pole as a line: the plate solved in height and depth by finite elements, with
 * the ladder's contact currents entering and leaving it through patches at the front edge.
 *
 * The plate comes out hotter, for two reasons. Current crowds at the patches, and patches less than a depth apart crowd
 * it together, which is more Joule heat than the line has. And the heat of contacts enters at the front edge, where the
 * middle of a patch is hotter than the mean over the depth that the line stands for.
 */
import { beforeAll, describe, expect, it } from 'vitest';
import { type LadderSolution, RackModel } from '../../lib/ladder/index.js';
import { COPPER, load, onePlate, plainPole, sampleRack, scenarioOf, shelf } from '../ladder/sampleRack.js';
import { independentCase, publishedCheck } from '../published/publishedCheck.js';
import { type DemoPlacement, demoPlacements } from './demoPlacements.js';
import { havePython, runPython, sayWhy } from './python.js';

interface Answer {
  /** K above the slot's air, `[slot]`: largest within the patch's height, mean over the depth at mid-height. */
  readonly largestRise: number[];
  readonly meanRise: number[];
  /** The largest again, on a mesh of half the element size. */
  readonly fineLargestRise: number[];
  /** V, front edge at mid-height above the mean over the depth, `[slot]`. */
  readonly potentialAboveMean: number[];
  /** Factor on all currents at which the largest rise meets the limit; where a limit was given. */
  readonly ratedScale: number;
}

/** m, height of a contact; common practice, no published source. */
const PATCH = 0.02;
/** Elements along a patch, of the mesh that answers and of the one that shows what its size matters. */
const PIECES = [2, 4] as const;
const PROGRAM = 'scikit-fem, plate in two dimensions';

/**
 * Largest rise and mean over the depth, K, and share of rated power, placement by placement: what is found, rounded up.
 * With source contacts of 360 to 660 A the line is that much too cool; a ladder that drifts from the plate any further
 * fails, and one that comes nearer must be held to less.
 */
const ALLOWED: Record<string, { readonly largest: number; readonly mean: number; readonly rating: number }> = {
  'deep bar, sources at the top': { largest: 3.4, mean: 1.6, rating: 0.061 },
  'deep bar, sources in the middle': { largest: 3, mean: 1.4, rating: 0.056 },
  'deep bar, drawn': { largest: 3.3, mean: 1.6, rating: 0.062 },
  'plain bar, sources at the top': { largest: 1.6, mean: 1, rating: 0.029 },
  'plain bar, sources in the middle': { largest: 3, mean: 1.45, rating: 0.053 },
  'plain bar, drawn': { largest: 1.45, mean: 0.95, rating: 0.027 },
};

sayWhy(havePython, 'scikit-fem is not installed in .venv (test/independent/requirements.txt); no plate is compared');

const hottest = (values: readonly number[]) => Math.max(...values);

/** The hotter pole of a placement at its rated power. */
function ratedPole({ rack, scenario }: DemoPlacement) {
  const model = new RackModel(rack);
  const rated = model.rate(scenario);
  const solution = model.solutionAt(scenario, rated.power, rated.state);
  if (rated.limit !== 'bar-rise' || solution.status !== 'solved') throw new Error('the bar rise must bind');
  const pole = rated.pole === 'return' ? 1 : 0;
  const temperature = pole === 1 ? solution.returnTemperature : solution.supplyTemperature;
  return {
    rise: Array.from(temperature, (kelvin, i) => kelvin - solution.air[i]),
    input: plateInput({ rack, scenario }, solution, pole, rack.limits.barRise),
  };
}

function plateInput(
  { rack, scenario }: Omit<DemoPlacement, 'name'>, solution: LadderSolution, pole: 0 | 1, limit: number | null,
) {
  return {
    rack, scenario, pole, limit,
    active: Array.from(solution.state.active),
    power: solution.power,
    currents: solution.units.map(({ current }) => current),
    patchHeight: PATCH,
    pieces: PIECES,
  };
}

describe.skipIf(!havePython)('a patch at the edge of a long strip', () => {
  it('stands above the depth’s mean potential by the Fourier series of the strip', () => {
    const depth = 0.1;
    const thickness = 0.01;
    const rack = sampleRack({
      supply: plainPole(44, { plates: onePlate(depth, thickness), material: { ...COPPER, temperatureCoefficient: 0 } }),
    });
    const scenario = scenarioOf([load(10), shelf(35)]);
    const model = new RackModel(rack);
    const { power, state } = model.rate(scenario);
    const solution = model.solutionAt(scenario, power, state);
    if (solution.status !== 'solved') throw new Error('a rated power must have a solution');
    const [answer] = runPython<Answer[]>('plate_2d.py', [
      { ...plateInput({ rack, scenario }, solution, 0, null), pieces: [8, 8] },
    ]);
    const current = solution.units[1].current;
    let series = 0;
    for (let n = 1; n < 1e5; n++) series += -Math.expm1((-n * Math.PI * PATCH) / (2 * depth)) / n ** 2;
    publishedCheck({
      section: 'B', quantity: 'spreading resistance of a patch at the edge of a strip', unit: 'Ω',
      source: 'Fourier series of the strip under uniform flux, method of Carslaw & Jaeger (1959)',
      fromMemory: true,
      published: ((COPPER.resistivity20 / thickness) * 2 * depth * series) / (Math.PI ** 2 * PATCH),
      ours: answer.potentialAboveMean[34] / current,
      tolerance: { relative: 0.001 },
      why: 'quadratic elements, eight along the patch, at the jump of the flux',
    });
  });
});

describe.skipIf(!havePython)('the ladder beside the plate in two dimensions', () => {
  const placements = demoPlacements();
  let cases: ReturnType<typeof ratedPole>[];
  let answers: Answer[];
  beforeAll(() => {
    cases = placements.map(ratedPole);
    answers = runPython<Answer[]>('plate_2d.py', cases.map(({ input }) => input));
  });

  it.each(placements.map(({ name }, i) => ({ name, i })))('$name', ({ name, i }) => {
    const allowed = ALLOWED[name];
    const answer = answers[i];
    const found = hottest(answer.largestRise);
    const effect = found - hottest(cases[i].rise);

    // A mesh that mattered would speak of itself, not of the plate.
    expect(Math.abs(hottest(answer.fineLargestRise) - found)).toBeLessThan(0.1 * Math.abs(effect));
    // An allowance much above what is found would let the plate or the ladder lose heat unseen.
    expect(effect).toBeGreaterThan(0.9 * allowed.largest);
    independentCase({
      program: PROGRAM, quantity: `largest bar rise at rated power, ${name}`, unit: 'K',
      difference: Math.abs(effect), allowed: allowed.largest,
    });
    independentCase({
      program: PROGRAM, quantity: `mean rise over the depth, all slots at rated power, ${name}`, unit: 'K',
      difference: hottest(answer.meanRise.map((rise, slot) => Math.abs(rise - cases[i].rise[slot]))),
      allowed: allowed.mean,
    });
    independentCase({
      program: PROGRAM, quantity: `rated power, ${name}`, unit: 'share',
      difference: Math.abs(1 - answer.ratedScale), allowed: allowed.rating,
    });
  });
});
