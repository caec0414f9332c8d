/** Heat runs made by the library's own model with a known truth and normal noise. */
import { readFileSync } from 'node:fs';
import { HeatRunModel, type FitValues } from '../../lib/calibrate/index.js';
import { normalQuantile } from '../../lib/draw/normalDistribution.js';
import { randomStream } from '../../lib/draw/randomStream.js';
import {
  type Catalogue,
  type HeatRun,
  type HeatRunReading,
  type HeatRunUnit,
  parseCatalogue,
  parseRack,
  type Rack,
  type SensorDepth,
} from '../../lib/rack/index.js';

const demo = (name: string) => JSON.parse(readFileSync(`data-demo/${name}`, 'utf8'));
export const RACK: Rack = parseRack(demo('plain-bar.json'));
export const CATALOGUE: Catalogue = parseCatalogue(demo('equipment.json'));

export const source = (bottomSlot: number, equipment = 'shelf-33'): HeatRunUnit => ({
  kind: 'source',
  equipment,
  bottomSlot,
  current: null,
  power: null,
});
export const load = (equipment: string, bottomSlot: number, kw: number): HeatRunUnit => ({
  kind: 'load',
  equipment,
  bottomSlot,
  current: null,
  power: 1e3 * kw,
});

export function sensor(
  name: string,
  slot: number,
  pole: 0 | 1,
  more: Partial<HeatRunReading> & { readonly depth?: SensorDepth } = {},
): HeatRunReading {
  return {
    sensor: name,
    place: 'bar',
    slot,
    pole,
    depth: 'mean',
    temperature: null,
    standardError: 0.4,
    driftPerHour: 0,
    ...more,
  };
}

/** Sensors all over the bar. */
export const SENSORS: readonly HeatRunReading[] = [2, 6, 10, 14, 18, 22, 26, 30, 34].flatMap((slot) => [
  sensor(`S${slot}`, slot, 0, slot === 22 ? { depth: 'front-edge' } : {}),
  sensor(`R${slot}`, slot, 1),
]);

const SOURCES = [1, 2, 3, 4].map((slot) => source(slot));
const FAR = [load('accelerator-4', 9, 6), load('accelerator-4', 21, 10), load('node-2', 33, 12)];
const NEAR = [load('node-1', 5, 5), load('accelerator-4', 10, 20), load('switch-3', 16, 10)];

/** Three operating points: load far from the sources, load near them, and a hot inlet. */
export const PLAN: HeatRun = {
  points: [
    { name: 'far', inlet: 299.15, units: [...SOURCES, ...FAR], readings: SENSORS },
    { name: 'near', inlet: 297.15, units: [...SOURCES, ...NEAR], readings: SENSORS },
    { name: 'hot inlet', inlet: 318.15, units: [...SOURCES, ...FAR], readings: SENSORS },
  ],
};

/** A truth, and what every sensor of a plan would read without noise, K. */
export function truth(plan: HeatRun, values: FitValues, rack: Rack = RACK, catalogue: Catalogue = CATALOGUE) {
  const expected = new HeatRunModel(rack, catalogue, plan).expected(values);
  if (!expected.solved) throw new Error(expected.reason);
  return { plan, temperature: expected.temperature };
}

/** A heat run of a truth with normal noise of each sensor's standard error, `noise` times as large. */
export function measured({ plan, temperature }: ReturnType<typeof truth>, seed: string, index = 0, noise = 1): HeatRun {
  const stream = randomStream(seed, index, 'check');
  let at = 0;
  return {
    points: plan.points.map((point) => ({
      ...point,
      readings: point.readings.map((reading) => ({
        ...reading,
        temperature: temperature[at++] + noise * (reading.standardError ?? 1) * normalQuantile(stream.double()),
      })),
    })),
  };
}

/** A heat run with some readings changed. */
export function changed(
  run: HeatRun,
  change: (reading: HeatRunReading, point: string) => Partial<HeatRunReading>,
): HeatRun {
  return {
    points: run.points.map((point) => ({
      ...point,
      readings: point.readings.map((r) => ({ ...r, ...change(r, point.name) })),
    })),
  };
}
