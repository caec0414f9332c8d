import fc from 'fast-check';
import type { Scenario } from '../../lib/draw/scenario.js';
import type { Film, Films, Pole, Rack } from '../../lib/rack/model.js';
import { battery, COPPER, load, sampleRack, scenarioOf, shelf } from './sampleRack.js';

/** How many random racks are looked at where an ordinary run has so many; `RACK_PART=0.05` is enough for mutation testing. */
export const racks = (count: number): number => Math.ceil(count * Number(process.env.RACK_PART ?? 1));

export interface RackCase {
  readonly rack: Rack;
  readonly scenario: Scenario;
}

const number = (min: number, max: number) => fc.double({ min, max, noNaN: true, noDefaultInfinity: true });

const film: fc.Arbitrary<Film> = fc.oneof(
  fc.constant<Film>({ model: 'still-air' }),
  fc.constant<Film>({ model: 'slender-still-air' }),
  fc.constant<Film>({ model: 'handbook' }),
  number(0.3, 4).map((speed): Film => ({ model: 'moving-air', speed })),
  number(2, 15).map((coefficient): Film => ({ model: 'fixed', coefficient })),
);

const films: fc.Arbitrary<Films> = fc.record({
  outerFaces: film,
  edges: film,
  facingFaces: fc.oneof(
    fc.constant<Film>({ model: 'channel' }),
    film.filter((f) => f.model !== 'slender-still-air'),
  ),
  factor: number(0.5, 1.5),
});

/** m; 0: the contact grips the whole depth. */
const edgeHeight = fc.constantFrom(0, 0.005, 0.02, 0.04);

function pole(slotCount: number): fc.Arbitrary<Pole> {
  return fc.record({
    split: fc.integer({ min: 1, max: slotCount - 1 }),
    plates: fc.array(
      fc.record({
        count: fc.integer({ min: 1, max: 3 }),
        depth: number(0.05, 0.2),
        thickness: number(0.004, 0.012),
        gap: number(0.004, 0.012),
      }),
      { minLength: 2, maxLength: 2 },
    ),
    emissivity: number(0.05, 0.95),
    openFaces: fc.constantFrom<1 | 2>(1, 2),
    joint: number(0, 5e-6),
  }).map(({ split, plates, emissivity, openFaces, joint }) => {
    const common = { material: COPPER, emissivity, openFaces };
    return {
      sections: [
        { ...common, fromSlot: 1, toSlot: split, plates: plates[0] },
        { ...common, fromSlot: split + 1, toSlot: slotCount, plates: plates[1] },
      ],
      joints: [{ aboveSlot: split, resistance: joint }],
    };
  });
}

/** Racks of 4 to 48 slots with every film, both sharings, all operating states, and one-slot units. */
export const rackCase: fc.Arbitrary<RackCase> = fc.integer({ min: 6, max: 48 }).chain((slotCount) =>
  fc.record({
    supply: pole(slotCount),
    back: pole(slotCount),
    films,
    sharing: fc.constantFrom<'equal' | 'droop'>('equal', 'droop'),
    inlet: number(263, 323),
    profileTop: number(0, 8),
    exhaustRise: number(0, 1.5e-3),
    altitude: number(0, 3000),
    surroundings: fc.option(number(280, 320)),
    order: fc.shuffledSubarray(Array.from({ length: slotCount }, (_, i) => i + 1), { minLength: 5 }),
    contacts: fc.array(number(0, 200e-6), { minLength: 2 * slotCount, maxLength: 2 * slotCount }),
    powers: fc.array(number(0.1, 3), { minLength: slotCount, maxLength: slotCount }),
    edgeHeight: fc.tuple(edgeHeight, edgeHeight),
    heatConductance: number(0, 0.3),
    heatRise: number(-5, 20),
    weight: number(0.8, 1.2),
    droop: number(0.2e-3, 3e-3),
    barRise: number(10, 60),
    build: fc.record({ contactFactor: number(0.5, 2), filmFactor: number(0.7, 1.3), areaFactor: number(0.95, 1.05) }),
  }).map((d) => {
    const rack = sampleRack({
      slotCount,
      supply: d.supply,
      return: d.back,
      films: d.films,
      sharing: { model: d.sharing },
      operatingStates: ['all-in-service', 'one-source-out', 'batteries-alone'],
      limits: { barRise: d.barRise, barTemperature: 400, contactTemperature: 420, lowestLoadVoltage: 40 },
      air: {
        inlet: d.inlet,
        profile: Array.from({ length: slotCount }, (_, i) => (d.profileTop * i) / slotCount),
        exhaustRise: d.exhaustRise,
        altitude: d.altitude,
        surroundings: d.surroundings,
      },
    });
    const units = d.order.map((slot, i) => {
      const contact = {
        contactResistance: [d.contacts[2 * i], d.contacts[2 * i + 1]] as const,
        contactThermalResistance: 0.3,
        contactHeatShare: 0.8,
        contactEdgeHeight: d.edgeHeight[i < 3 ? 0 : 1],
        droopResistance: d.droop,
      };
      if (i < 2) return shelf(slot, { ...contact, sharingWeight: i === 0 ? d.weight : 1 });
      if (i === 2) return battery(slot, contact);
      return load(slot, {
        ...contact, power: d.powers[i], heatConductance: d.heatConductance, heatRise: d.heatRise,
      });
    });
    return { rack, scenario: scenarioOf(units, d.build) };
  }));
