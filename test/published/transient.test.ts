/** Heating over time against closed forms and a conduction benchmark; adiabatic heating against factors of a standard. */
import { describe, expect, it } from 'vitest';
import { adiabaticCurrent, adiabaticFactor, adiabaticTemperature, TransientLadder } from '../../lib/ladder/index.js';
import { COPPER, filmsOf, load, onePlate, plainPole, sampleRack, scenarioOf, shelf } from '../ladder/sampleRack.js';
import { publishedCheck } from './publishedCheck.js';

const AIR = 308.15;
const STATE = { rule: 'all-in-service', outSlot: 0, active: [1] } as const;

/** Copper as in Incropera's table A.1, 8933 kg/m³ and 385 J/(kg·K): the values imply it without naming it. */
const metal = { ...COPPER, density: 8933, specificHeat: 385 };

/** 1000 m of the bar with contacts at its ends, which then matter to no mode; so high a voltage that 800 A stay 800 A. */
function longBar(): TransientLadder {
  const n = 201;
  const pole = plainPole(n, { plates: onePlate(0.05, 0.005), material: metal, emissivity: 0 });
  const rack = sampleRack({
    slotCount: n, pitch: 5, supply: pole, return: pole, films: filmsOf({ model: 'fixed', coefficient: 8 }), limits: {},
    setVoltage: 5e8, air: { inlet: AIR },
  });
  const transient = new TransientLadder(rack, 1e-4);
  transient.mount(scenarioOf([shelf(1), load(n)]), STATE);
  return transient;
}

describe('long 50×5 mm bar, 800 A from cold: rise = final·(1 − exp(−t/τ)), τ = c·d·A/(hP − I²ρ20·α/A)', () => {
  const closed = {
    section: 'B', source: 'closed form: c·d·A·dθ/dt = I²ρ(T)/A − hP·θ', why: 'digits printed',
  } as const;

  it('has a time constant of 1216.9 s', () => {
    const transient = longBar();
    transient.beginSteady(800 * 5e8);
    publishedCheck({
      ...closed, quantity: 'long bar, 50×5 mm copper, 800 A, time constant', unit: 's', published: 1216.9,
      ours: transient.timeConstant(), tolerance: { absolute: 0.05 },
    });
  });

  it('has risen 25.749 K after 600 s', () => {
    const transient = longBar();
    transient.beginSteady(0);
    expect(transient.temperature[200] - AIR).toBeCloseTo(0, 6);
    transient.advance(800 * 5e8, 600);
    for (const [p, pole] of ['supply', 'return'].entries()) {
      publishedCheck({
        ...closed, quantity: `long bar, 50×5 mm copper, 800 A, rise of the ${pole} pole after 600 s`, unit: 'K',
        published: 25.749, ours: transient.temperature[200 + p] - AIR, tolerance: { absolute: 5e-4 },
      });
    }
  });
});

describe('NAFEMS T3: rod of 0.1 m, k 35, c 440.5, d 7200, one end at 0 °C, the other at 100·sin(π·t/40) °C', () => {
  it('is at 36.60 °C after 32 s, 0.02 m from the end that varies', () => {
    const n = 101;
    const pitch = 0.001;
    const material = { ...COPPER, thermalConductivity: 35, density: 7200, specificHeat: 440.5 };
    const pole = plainPole(n, { plates: onePlate(0.01, 0.01), material, emissivity: 0 });
    const rack = sampleRack({
      slotCount: n, pitch, supply: pole, return: pole, films: filmsOf({ model: 'fixed', coefficient: 1e-9 }), limits: {},
      air: { inlet: 273.15 },
    });
    const transient = new TransientLadder(rack, 0.005);
    transient.mount(scenarioOf([
      shelf(1, { heatConductance: 1e6, heatRise: 0 }), load(n, { heatConductance: 1e6, heatRise: 0 }),
    ]), STATE);
    transient.beginSteady(0);
    const { unitRise } = transient.ladder.mounting;
    transient.advance(0, 32, undefined, (time) => { unitRise[n - 1] = 100 * Math.sin((Math.PI * time) / 40); });
    publishedCheck({
      section: 'C', source: 'NAFEMS T3', quantity: 'NAFEMS T3, temperature at 0.02 m and 32 s', unit: '°C', published: 36.60,
      ours: transient.temperature[2 * (n - 1 - 20)] - 273.15, tolerance: { absolute: 0.005 },
      why: 'digits printed',
    });
  });
});

describe('adiabatic heating', () => {
  // IEC 60364-5-54 takes 3.45 J/(K·mm³) for copper, 17.241 nΩ·m and 1/α = 234.5 + 20 K.
  const byStandard = { ...COPPER, density: 1, specificHeat: 3.45e6, resistivity20: 17.241e-9, temperatureCoefficient: 1 / 254.5 };
  it.each([[70, 160, 115], [90, 250, 143]])('copper from %d to %d °C: k = %d A·√s/mm²', (from, to, published) => {
    const common = {
      section: 'B', source: 'IEC 60364-5-54, table of factors k', fromMemory: true, unit: 'A·√s/mm²', published,
    } as const;
    publishedCheck({
      ...common, quantity: `copper, ${from} to ${to} °C, k with the standard's own figures of copper`,
      ours: 1e-6 * adiabaticFactor(byStandard, from + 273.15, to + 273.15), tolerance: { absolute: 0.5 }, why: 'digits printed',
    });
    publishedCheck({
      ...common, quantity: `copper, ${from} to ${to} °C, k with the built-in figures of copper`,
      ours: 1e-6 * adiabaticFactor(COPPER, from + 273.15, to + 273.15), tolerance: { relative: 0.008 },
      why: 'heat capacity 3.42 instead of 3.45 J/(K·mm³), half of it in k, and digits printed',
    });
  });

  it('current, temperature and factor belong together', () => {
    const current = adiabaticCurrent(COPPER, 2.5e-4, 363.15, 523.15, 1);
    expect(current).toBeCloseTo(adiabaticFactor(COPPER, 363.15, 523.15) * 2.5e-4, 6);
    expect(adiabaticTemperature(COPPER, 2.5e-4, 363.15, current, 1)).toBeCloseTo(523.15, 8);
  });
});
