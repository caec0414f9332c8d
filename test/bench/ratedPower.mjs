/**
 * Rated-power solves per second on one core: 44-slot deep-bar rack, one operating state, still-air film, both poles.
 * Prints also µs and sweeps (Newton steps of all temperatures together) per solve. A benchmark, not a timed test.
 */
import { createRequire } from 'node:module';

const { loadStudy, RackModel, scenarioSource } = createRequire(import.meta.url)('slotcast');

const { study } = loadStudy('data-demo/deep-bar-anywhere.json');
const rack = { ...study.rack, operatingStates: ['all-in-service'] };
const source = scenarioSource(study);
const scenarios = Array.from({ length: 4000 }, (_, i) => source.draw(i).scenario);
const model = new RackModel(rack);

function pass() {
  let sweeps = 0;
  const started = process.hrtime.bigint();
  for (const scenario of scenarios) {
    model.rate(scenario);
    sweeps += model.sweeps;
  }
  return { seconds: Number(process.hrtime.bigint() - started) / 1e9, sweeps: sweeps / scenarios.length };
}

for (let i = 0; i < 3; i++) pass();
const runs = Array.from({ length: 7 }, pass).sort((a, b) => a.seconds - b.seconds);
const { seconds, sweeps } = runs[3];
const perSolve = seconds / scenarios.length;
console.log(`${rack.name}: ${Math.round(1 / perSolve)} rated powers per second on one core`);
console.log(`${(perSolve * 1e6).toFixed(1)} µs and ${sweeps.toFixed(2)} sweeps per rated power (median of 7 passes)`);

const started = process.hrtime.bigint();
for (let i = 0; i < 20_000; i++) source.draw(i);
console.log(`${(Number(process.hrtime.bigint() - started) / 1e3 / 20_000).toFixed(1)} µs per drawn scenario`);
