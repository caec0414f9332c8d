/** A heat run that the library had no part in: the closed form of a long uniform bar. */
import { expect, it } from 'vitest';
import { fitHeatRun } from '../../lib/calibrate/index.js';
import { type HeatRun, parseCatalogue, parseRack } from '../../lib/rack/index.js';
import { sensor } from './syntheticRuns.js';

const H = 11; // W/(m²·K), the truth; the rack file says 8
const RHO = 20e-9;
const [DEPTH, THICKNESS] = [0.08, 0.008];

const rack = parseRack({
  format: 'slotcast-rack/1',
  name: 'closed form',
  slots: { count: 60, pitchMm: 45 },
  // Resistance without temperature and next to no conduction along the bar, so that each slot is by itself.
  materials: {
    plain: {
      resistivityNanoOhmM: 1e9 * RHO,
      temperatureCoefficientPerK: 0,
      thermalConductivityWPerMK: 1,
      densityKgPerM3: 8900,
      specificHeatJPerKgK: 385,
      source: 'made up',
    },
  },
  poles: {
    both: {
      sections: [
        {
          fromSlot: 1,
          toSlot: 60,
          material: 'plain',
          plates: { count: 1, depthMm: 1e3 * DEPTH, thicknessMm: 1e3 * THICKNESS },
          emissivity: 0,
        },
      ],
    },
  },
  film: { model: 'fixed', coefficientWPerM2K: 8 },
  air: { inletC: 25 },
  limits: { barRiseK: 300 },
  feed: { setV: 50, sharing: 'equal' },
  operatingStates: ['all-in-service'],
});
const unit = {
  heightSlots: 1,
  contactSlot: 1,
  contact: { microOhm: 1, thermalResistanceKPerW: 1, heatShare: 0, grip: 'whole-depth' },
  massKg: 1,
};
const catalogue = parseCatalogue({
  format: 'slotcast-catalogue/1',
  name: 'closed form',
  sources: [{ ...unit, id: 'source', name: 'source', kind: 'power-shelf' }],
  loads: [{ ...unit, id: 'load', name: 'load', powerKw: { min: 1, max: 100 }, mixWeight: 1 }],
});

/** Rise of a long bar: I²·r over film coefficient and perimeter, r = ρ/A. */
const rise = (current: number, film: number) =>
  (current ** 2 * (RHO / (DEPTH * THICKNESS))) / (film * 2 * (DEPTH + THICKNESS));

const run: HeatRun = {
  points: [400, 700, 1000].map((current) => ({
    name: `${current} A`,
    inlet: 298.15,
    units: [
      { kind: 'source', equipment: 'source', bottomSlot: 1, current: null, power: null },
      { kind: 'load', equipment: 'load', bottomSlot: 60, current, power: null },
    ],
    readings: [24, 30, 36].flatMap((slot) =>
      ([0, 1] as const).map((pole) =>
        sensor(`${slot} ${pole}`, slot, pole, { temperature: 298.15 + rise(current, H) }),
      ),
    ),
  })),
};

it('the film of a long bar comes out of rise = I²·r/(h·p)', async () => {
  const fit = await fitHeatRun(rack, catalogue, run, { quantities: ['filmFactor'] });
  expect(fit.quantities[0].value).toBeCloseTo(H / 8, 6);
  // The bar follows as density·A·c/(h·p), h.
  const hours = (8900 * DEPTH * THICKNESS * 385) / (H * 2 * (DEPTH + THICKNESS)) / 3600;
  expect(fit.steadiness.timeConstant).toBeCloseTo(hours, 6);
  expect(fit.readings.every(({ residual }) => Math.abs(residual ?? 1) < 1e-5)).toBe(true);
});

it('so does its cross-section, on which the heat depends and nothing else', async () => {
  const fit = await fitHeatRun(rack, catalogue, run, { quantities: ['areaFactor'] });
  // The model has 8 W/(m²·K): its area must be smaller as its film is, the other way round.
  expect(fit.quantities[0].value).toBeCloseTo(H / 8, 6);
});

it('film and cross-section act alike there, and that is said', async () => {
  await expect(fitHeatRun(rack, catalogue, run, { quantities: ['filmFactor', 'areaFactor'] })).rejects.toThrow(
    /film factor and factor on the cross-section that act alike/,
  );
});
