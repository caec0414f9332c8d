/**
 * Writes data-demo/heat-run.csv: an invented heat run of the demonstration rack, made by the library's own model with a
 * known truth and normal noise of 0.3 K, rounded to 0.1 K as a log has it. Build first.
 */
import { readFileSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import slotcast from '../../dist/index.js';
import normal from '../../dist/draw/normalDistribution.js';

const demo = (name) => fileURLToPath(new URL(`../../data-demo/${name}`, import.meta.url));
const { HeatRunModel, parseHeatRun, randomStream } = slotcast;
const rack = slotcast.parseRack(JSON.parse(readFileSync(demo('deep-bar.json'), 'utf8')));
const catalogue = slotcast.parseCatalogue(JSON.parse(readFileSync(demo('equipment.json'), 'utf8')));

/** The rack file says 0.7 and the catalogue 1. */
const TRUTH = { filmFactor: 0.62, contactFactor: 1.3 };
const NOISE_K = 0.3;

const POINTS = [
  { name: 'A', inlet: 25.8, sources: [1, 2, 3, 4, 5, 6], loads: [['accelerator-4', 14, 20], ['accelerator-4', 22, 20], ['accelerator-4', 30, 20], ['accelerator-4', 38, 20]] },
  { name: 'B', inlet: 26.1, sources: [1, 2, 3, 4, 5, 6], loads: [['accelerator-4', 14, 12], ['accelerator-4', 22, 12], ['node-2', 36, 10]] },
  { name: 'C', inlet: 26.0, sources: [1, 2, 3, 42, 43, 44], loads: [['node-1', 8, 10], ['node-1', 12, 10], ['node-1', 16, 10], ['node-1', 20, 10], ['node-1', 24, 10], ['node-1', 28, 10]] },
];
const SLOTS = [2, 5, 9, 15, 23, 31, 39, 43];
const COLUMNS = 'point,kind,slot,equipment,sensor,pole,depth,currentA,powerKw,temperatureC,standardErrorK,driftKPerH';

const rows = [];
const row = (cells) => rows.push(COLUMNS.split(',').map((column) => cells[column] ?? '').join(','));
for (const { name, inlet, sources, loads } of POINTS) {
  row({ point: name, kind: 'air', temperatureC: inlet.toFixed(1) });
  for (const slot of sources) row({ point: name, kind: 'source', slot, equipment: 'shelf-33' });
  for (const [equipment, slot, powerKw] of loads) row({ point: name, kind: 'load', slot, equipment, powerKw });
  for (const slot of SLOTS) {
    for (const [pole, letter] of [['supply', 'S'], ['return', 'R']]) {
      const depth = slot === 5 ? 'front-edge' : 'mean';
      row({ point: name, kind: 'bar', slot, sensor: `${letter}${slot}`, pole, depth, temperatureC: 0, standardErrorK: NOISE_K });
    }
  }
}
const plan = parseHeatRun([COLUMNS, ...rows].join('\n'), { rack, catalogue });
const expected = new HeatRunModel(rack, catalogue, plan).expected(TRUTH);
const stream = randomStream('demonstration heat run', 0, 'check');
let at = 0;
const written = rows.map((text) => {
  const cells = text.split(',');
  if (cells[1] !== 'bar') return text;
  const kelvin = expected.temperature[at++] + NOISE_K * normal.normalQuantile(stream.double());
  const drift = 0.4 * stream.double();
  const isMissing = cells[0] === 'B' && cells[4] === 'R31';
  cells[9] = isMissing ? '' : (kelvin - 273.15).toFixed(1);
  cells[11] = isMissing ? '' : drift.toFixed(2);
  return cells.join(',');
});
writeFileSync(demo('heat-run.csv'), `${[COLUMNS, ...written].join('\n')}\n`);
