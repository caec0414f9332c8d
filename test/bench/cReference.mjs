/**
 * The C reference: writes its input (rack, convection tables, scenarios), compiles it where there is a compiler, and runs it.
 */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

const require = createRequire(import.meta.url);
const here = dirname(fileURLToPath(import.meta.url));

/** Compiles reference.c. @returns an object to run and to remove, or null without a compiler */
export function compileReference() {
  const folder = mkdtempSync(join(tmpdir(), 'slotcast-bench-'));
  const program = join(folder, 'reference');
  const build = spawnSync('gcc', ['-O3', '-march=native', '-o', program, join(here, 'reference.c'), '-lm'], { encoding: 'utf8' });
  if (build.status !== 0) {
    rmSync(folder, { recursive: true, force: true });
    if (build.error === undefined) throw new Error(`the C reference does not compile:\n${build.stderr}`);
    return null;
  }
  const version = spawnSync('gcc', ['-dumpfullversion'], { encoding: 'utf8' }).stdout.trim();
  return {
    compiler: `gcc ${version} -O3 -march=native`,
    prepare(rack, scenarios) {
      writeFileSync(join(folder, 'input'), inputFor(rack, scenarios));
      return scenarios.length;
    },
    /** @returns µs per scenario of every pass, rated powers (W, −1 where the joint search did not close) and sweeps */
    run(count, passes) {
      const run = spawnSync(program, [join(folder, 'input'), join(folder, 'output'), String(passes)], { encoding: 'utf8' });
      if (run.status !== 0) throw new Error(`the C reference failed: ${run.stderr}`);
      const bytes = readFileSync(join(folder, 'output'));
      const answers = new Float64Array(bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.length));
      return {
        micros: run.stdout.trim().split('\n').map((seconds) => (1e6 * Number(seconds)) / count),
        powers: Float64Array.from({ length: count }, (_, i) => answers[2 * i]),
        sweeps: Array.from({ length: count }, (_, i) => answers[2 * i + 1]).reduce((a, b) => a + b, 0) / count,
      };
    },
    remove: () => rmSync(folder, { recursive: true, force: true }),
  };
}

/** Doubles one after the other, as readRack and mount of reference.c take them. */
function inputFor(rack, scenarios) {
  const { Ladder } = require('../../dist/ladder/ladder.js');
  const { Rating } = require('../../dist/ladder/ratedPower.js');
  const { TABLE_LENGTH } = require('../../dist/ladder/convectionTable.js');
  const ladder = new Ladder(rack);
  const rating = new Rating(ladder);
  // Rating them fills the cells of the tables that they meet; cells beside those are filled below.
  for (const scenario of scenarios) {
    ladder.mount(scenario);
    rating.ratedPower();
  }
  const { kernel, mounting } = ladder;
  const n = rack.slotCount;
  const pairs = (name, length = 2 * n) => kernel.numbers(name, length);
  const base = kernel.table(0).address;
  const tableOf = Float64Array.from(kernel.wholes('tableOf', 2 * n), (address) => (address - base) / (8 * TABLE_LENGTH));
  const tables = Math.max(...tableOf) + 1;
  const { limits } = rack;
  const parts = [
    [scenarios.length, n, tables, rack.pitch, rack.setVoltage, rack.air.surroundings ?? 0, limits.barRise, limits.barTemperature,
      limits.contactTemperature, limits.loadContactCurrent, limits.lowestLoadVoltage],
    ...['nominalSegmentOffset', 'nominalSegmentSlope', 'nominalSegmentConductance', 'jointResistance', 'nominalSheetOffset',
      'nominalSheetSlope', 'nominalSheetThermal', 'envelope', 'feltAtMost'].map((name) => pairs(name).slice()),
    pairs('mutual', 2 * n * n).slice(), Float64Array.from(kernel.wholes('feltFrom')), Float64Array.from(kernel.wholes('feltTo')),
    tableOf,
    ...Array.from({ length: tables }, (_, t) => kernel.table(t).cells.slice()),
  ];
  for (const scenario of scenarios) {
    ladder.mount(scenario);
    const { loads, sources, share, sharingWeight, maxCurrent, maxPower } = mounting;
    parts.push([loads.count, sources.count, scenario.build.areaFactor, scenario.build.filmFactor]);
    const contact = (c, k) => [
      c.node[k], c.resistance[2 * k], c.resistance[2 * k + 1], c.thermalResistance[k], c.heatShare[k], c.edgeHeight[k],
    ];
    for (let k = 0; k < loads.count; k++) parts.push([...contact(loads, k), share[k]]);
    for (let k = 0; k < sources.count; k++) parts.push([...contact(sources, k), sharingWeight[k], maxCurrent[k], maxPower[k]]);
    for (const name of ['airBase', 'airSlope', 'unitConductance', 'unitRise']) parts.push(pairs(name, n).slice());
    for (const name of ['emissivity', 'patchMean', 'patchMiddle']) parts.push(pairs(name).slice());
  }
  const length = parts.reduce((sum, part) => sum + part.length, 0);
  const all = new Float64Array(length);
  let at = 0;
  for (const part of parts) {
    all.set(part, at);
    at += part.length;
  }
  return Buffer.from(all.buffer);
}
