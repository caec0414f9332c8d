/**
 * Fewer scenarios for the same answer: what each design and splitting gain over plain scenarios, and whether they are
 * unbiased. Prints tables and writes results/bench-fewer-scenarios.json. `node test/bench/fewerScenarios.mjs [--quick]`.
 *
 * Designs: many independent replicates of one size on the demonstration's deep bar. The spread of an estimate over the
 * replicates against that of as many plain scenarios is what the design gains; the mean over the replicates against the
 * mean over the plain ones, in standard errors of their difference, is its bias. Plain ones are ten times as many, so that
 * their own chance hardly shows in what all are compared with. Splitting: against the rank-sum law,
 * whose probabilities are counted exactly.
 */
import { mkdirSync, writeFileSync } from 'node:fs';
import { slotcast } from './library.mjs';

const { loadStudy, parseCatalogue, parseRack, parseStudy, quantileSorted, RackModel, rarePower, scenarioSource } = slotcast;
const quick = process.argv.includes('--quick');
const SIZE = 256;
const REPLICATES = quick ? 60 : 400;
const PLAIN_REPLICATES = 10 * REPLICATES;

const DESIGNS = {
  plain: { design: 'plain' },
  'Latin hypercube': { design: 'latin-hypercube', size: SIZE },
  'Latin hypercube, sources stratified': { design: 'latin-hypercube', size: SIZE, stratifySources: true },
  'Sobol points': { design: 'sobol', size: SIZE },
  'Sobol points, sources stratified': { design: 'sobol', size: SIZE, stratifySources: true },
};

/** Percentiles that are estimated, as fractions. */
const PERCENTILES = { '50 %': 0.5, '5 %': 0.05, '1 %': 0.01 };

function moments(values) {
  const mean = values.reduce((a, b) => a + b, 0) / values.length;
  return { mean, variance: values.reduce((sum, x) => sum + (x - mean) ** 2, 0) / (values.length - 1) };
}

/** Rated powers of a design on the demonstration's deep bar, kW, sorted within each replicate, [replicate][scenario]. */
function replicatesOf(study, model, name, sampling) {
  const source = scenarioSource({ ...study, sampling, seed: `fewer ${name}` });
  return Array.from({ length: name === 'plain' ? PLAIN_REPLICATES : REPLICATES }, (_, r) =>
    Float64Array.from({ length: SIZE }, (_, i) => model.rate(source.draw(r * SIZE + i).scenario).power / 1e3).sort());
}

/**
 * Of every design: how far its mean, and the share of its scenarios below the percentiles of all plain ones, are off, both
 * without bias whatever the design; and what it gains for the mean and for the percentile of a replicate.
 */
function designs() {
  const { study } = loadStudy('data-demo/deep-bar-anywhere.json');
  // What designs can act on: where the contacts of every unit are drawn by themselves, chance remains in them.
  const one = { ...study, rack: { ...study.rack, operatingStates: ['all-in-service'] } };
  const model = new RackModel(one.rack);
  const powers = Object.fromEntries(
    Object.entries(DESIGNS).map(([name, sampling]) => [name, replicatesOf(one, model, name, sampling)]));
  const all = Float64Array.from({ length: PLAIN_REPLICATES * SIZE }, (_, i) => powers.plain[Math.floor(i / SIZE)][i % SIZE]).sort();
  const truths = Object.fromEntries(Object.entries(PERCENTILES).map(([key, p]) => [key, quantileSorted(all, p, 'type-8')]));
  const estimatesOf = (replicates) => {
    const means = replicates.map((sorted) => moments(sorted).mean);
    return {
      mean: { unbiased: means, gained: means },
      ...Object.fromEntries(Object.entries(PERCENTILES).map(([key, p]) => [key, {
        unbiased: replicates.map((sorted) => sorted.filter((power) => power <= truths[key]).length / SIZE),
        gained: replicates.map((sorted) => quantileSorted(sorted, p, 'type-8')),
      }])),
    };
  };
  const plain = estimatesOf(powers.plain);
  console.log(`\nDesigns: ${REPLICATES} replicates of ${SIZE} scenarios, ${PLAIN_REPLICATES} plain ones; deep bar, one operating state`);
  console.log(`Percentiles of all plain ones: ${Object.entries(truths).map(([key, kw]) => `${key} ${kw.toFixed(2)} kW`).join(', ')}`);
  console.log('design'.padEnd(38) + ['mean, kW', ...Object.keys(PERCENTILES).map((key) => `below ${key}`)]
    .map((key) => `${key}: off, gain`.padStart(33)).join(''));
  const rows = {};
  for (const [name, replicates] of Object.entries(powers)) {
    rows[name] = {};
    const cells = Object.entries(name === 'plain' ? plain : estimatesOf(replicates)).map(([key, { unbiased, gained }]) => {
      const [own, reference] = [moments(unbiased), moments(plain[key].unbiased)];
      const off = name === 'plain' ? 0
        : (own.mean - reference.mean) / Math.sqrt(own.variance / REPLICATES + reference.variance / PLAIN_REPLICATES);
      const gain = moments(plain[key].gained).variance / moments(gained).variance;
      rows[name][key] = { mean: own.mean, sd: Math.sqrt(own.variance), offInStandardErrors: off, fewerScenarios: gain };
      const shown = key === 'mean' ? own.mean.toFixed(2) : `${(100 * own.mean).toFixed(2)} %`;
      return `${shown}, ${off.toFixed(1)} s.e., ${gain.toFixed(2)}×`.padStart(33);
    });
    console.log(name.padEnd(38) + cells.join(''));
  }
  console.log('off: difference from plain in its standard errors; gain: plain scenarios that give as good an answer as one of these');
  return rows;
}

/** The rank-sum study of test/published/rankSumStudy.ts: 10 equal loads on 48 slots of a bar fed at its end. */
function rankSum() {
  const [N, K, DROP] = [48, 10, 1e-4];
  const rack = parseRack({
    format: 'slotcast-rack/1', name: 'one-end-fed', slots: { count: N + 1, pitchMm: 50 },
    poles: { both: { sections: [{
      fromSlot: 1, toSlot: N + 1, material: 'copper-iacs-100', plates: { count: 1, depthMm: 100, thicknessMm: 10 }, emissivity: 0.3,
    }] } },
    film: { model: 'still-air' }, air: { inletC: 20 }, limits: { lowestLoadV: 50 - DROP }, feed: { setV: 50, sharing: 'equal' },
    operatingStates: ['all-in-service'],
  });
  const contact = { microOhm: 1e-6, thermalResistanceKPerW: 0, grip: 'whole-depth' };
  const catalogue = parseCatalogue({
    format: 'slotcast-catalogue/1', name: 'rank-sum',
    sources: [{ id: 'feed', name: 'Feed', kind: 'power-shelf', heightSlots: 1, contactSlot: 1, contact, massKg: 1 }],
    loads: [{ id: 'load', name: 'Load', heightSlots: 1, contactSlot: 1, powerKw: { min: 1, max: 1 }, mixWeight: 1, contact, massKg: 1 }],
  });
  const study = parseStudy({
    format: 'slotcast-study/1', name: 'rank sums', seed: 'rank-sum', scenarios: 1000,
    sources: { positions: { draw: 'fixed', units: [{ id: 'feed', bottomSlot: 1 }] } },
    loads: { draw: 'even', id: 'load', count: { min: K, max: K }, totalPowerKw: 10 }, percentilesPercent: [50], confidencePercent: 95,
  }, { rack, catalogue });
  const most = (K * (2 * N - K + 1)) / 2;
  const counts = Array.from({ length: K + 1 }, () => new Array(most + 1).fill(0));
  counts[0][0] = 1;
  for (let position = 1; position <= N; position++) {
    for (let k = Math.min(K, position); k >= 1; k--) {
      for (let sum = most; sum >= position; sum--) counts[k][sum] += counts[k - 1][sum - position];
    }
  }
  const total = counts[K].reduce((a, b) => a + b, 0);
  const step = (2 * 1.724138e-8 * 0.05) / (0.1 * 0.01);
  return {
    study,
    probability: (w) => counts[K].slice(w).reduce((a, b) => a + b, 0) / total,
    below: (w) => (DROP * K * 50) / ((w - 0.5) * step),
  };
}

function splitting() {
  const { study, probability, below } = rankSum();
  const replicates = quick ? 20 : 100;
  const rows = [];
  console.log(`\nSplitting: ${replicates} replicates of a population of 300, 10 moves a level; exact law of the rank sum`);
  console.log('exact        mean of replicates   off        ratings   plain scenarios as good   gain');
  for (const w of [375, 392, 405, 415]) {
    const exact = probability(w);
    const run = rarePower(study, { below: below(w), population: 300, moves: 10, replicates, seed: `bench ${w}` });
    const { mean, variance } = moments(run.estimates);
    const error = Math.sqrt(variance / replicates);
    const plain = (exact * (1 - exact)) / (error * error);
    rows.push({ exact, mean, standardError: error, ratings: run.ratings, plainScenarios: plain, fewerScenarios: plain / run.ratings });
    console.log(`${exact.toExponential(3)}   ${mean.toExponential(3)} ± ${error.toExponential(1)}   ${((mean - exact) / error).toFixed(1)} s.e.   `
      + `${String(run.ratings).padStart(9)}   ${plain.toExponential(2).padStart(12)}   ${(plain / run.ratings).toFixed(plain / run.ratings < 10 ? 1 : 0).padStart(12)}×`);
  }
  return rows;
}

const results = { designs: designs(), splitting: splitting() };
mkdirSync('results', { recursive: true });
writeFileSync('results/bench-fewer-scenarios.json', `${JSON.stringify(results, null, 2)}\n`);
