import { z } from 'zod';
import { filmSchema } from './filmSchema.js';
import { choice, identifier, list, number, object, preamble, slot, text } from './parts.js';

export const RACK_FORMAT = 'slotcast-rack/1';

const ABSOLUTE_ZERO_C = -273.15;

const materialSchema = object('conductor material', {
  resistivityNanoOhmM: number('resistivity at 20 °C, nΩ·m; copper of 100 % IACS has 17.24', { above: 0 }),
  temperatureCoefficientPerK: number('temperature coefficient of resistance at 20 °C, 1/K', { from: 0, below: 0.1 }),
  thermalConductivityWPerMK: number('thermal conductivity, W/(m·K)', { above: 0 }),
  densityKgPerM3: number('density, kg/m³', { above: 0 }),
  specificHeatJPerKgK: number('specific heat, J/(kg·K)', { above: 0 }),
  source: text('where the figures come from: standard, data sheet, measurement', 1000),
});

const platesSchema = object('parallel flat plates of one pole', {
  count: number('plates side by side in this pole', { from: 1, to: 20, whole: true }),
  depthMm: number('broad side of one plate, mm', { above: 0 }),
  thicknessMm: number('narrow side of one plate, mm', { above: 0 }),
  gapMm: number('clear distance between neighbouring plates, mm; only with several plates', { above: 0 }).optional(),
});

const OPEN_FACES = 'outer broad faces the air reaches: 2 free, 1 backed by an insulator, 0 both covered';

const sectionSchema = object('a stretch of the pole with one cross-section', {
  fromSlot: slot('lowest slot of the section'),
  toSlot: slot('highest slot of the section, included'),
  material: identifier('a built-in material, or one of this file\'s "materials"'),
  plates: platesSchema,
  emissivity: number('emissivity of the outer surface, 0 to 1', { from: 0, to: 1 }),
  openFaces: z.literal([0, 1, 2], { error: `give 0, 1 or 2 (${OPEN_FACES})` })
    .meta({ description: OPEN_FACES }).default(2),
}).meta({ id: 'section', description: 'a stretch of the pole with one cross-section' });

const jointSchema = object('a bolted connection', {
  aboveSlot: slot('the joint lies between this slot and the next one up'),
  microOhm: number('resistance of the joint, µΩ', { from: 0 }),
});

const poleSchema = (what: string) => object(what, {
  sections: list('sections from bottom to top; together they cover every slot once', sectionSchema, 1),
  joints: list('bolted joints of this pole', jointSchema).default([]),
});

const polesSchema = z.union([
  object('both poles alike', { both: poleSchema('the two poles, built alike; or give "supply" and "return"') }),
  object('the two poles one by one', { supply: poleSchema('supply pole'), return: poleSchema('return pole') }),
], { error: 'give {"both": …}, or {"supply": …, "return": …}' }).meta({
  description: 'Conductors of the bar: "both" where the poles are alike, else "supply" and "return".',
});

const airSchema = object('air beside the bar', {
  inletC: number('air temperature at the inlet of the rack, °C', { above: ABSOLUTE_ZERO_C }),
  profileK: list('rise above the inlet without any load; linear between the slots given, constant beyond',
    object('one point of the profile', {
      slot: slot('slot of this point'),
      riseK: number('air there above the inlet, K'),
    }), 1).optional(),
  exhaustRiseKPerKw: number('rise of the air beside the bar for each kW of load in that slot, K/kW', { from: 0 })
    .default(0),
  altitudeM: number('height above sea level, m', { from: -500, to: 9000 }).default(0),
  surroundingsC: number('temperature of what the bar radiates to, °C; without it, the local air',
    { above: ABSOLUTE_ZERO_C }).optional(),
});

const limitsSchema = object('limits of the rack, at least one; sources carry their own', {
  barRiseK: number('highest rise of the bar above the local air, K', { above: 0 }).optional(),
  barC: number('highest bar temperature, °C', { above: ABSOLUTE_ZERO_C }).optional(),
  contactC: number('highest contact temperature, °C', { above: ABSOLUTE_ZERO_C }).optional(),
  loadContactA: number('highest current of a load contact, A', { above: 0 }).optional(),
  lowestLoadV: number('lowest voltage at a load\'s terminals, V', { above: 0 }).optional(),
});

const feedSchema = object('how the sources feed the bar', {
  setV: number('set voltage of the sources, V', { above: 0 }),
  sharing: choice('equal: the sources share the current alike; droop: the network decides, by each source\'s droop',
    ['equal', 'droop']),
});

const frameSchema = object('metal frame that may carry return current beside the return pole', {
  microOhmPerM: number('resistance of the frame along its height, µΩ per metre', { above: 0, to: 1e9 }),
  bonds: list('connections between the return pole and the frame, at most one in a slot', object('one connection', {
    slot: slot('slot of this connection'),
    microOhm: number('its resistance, µΩ', { above: 0, to: 1e12 }),
    maxA: number('highest current through it, A; without it, no limit', { above: 0 }).optional(),
  })).default([]),
});

const STATES = ['all-in-service', 'one-source-out', 'batteries-alone'] as const;

/** The rack file. */
export const rackSchema = object('A rack with a vertical DC busbar: conductors, cooling, limits and feed.', {
  ...preamble(RACK_FORMAT, 'rack'),
  slots: object('mounting positions', {
    count: number('number of slots', { from: 1, to: 500, whole: true }),
    pitchMm: number('height of one slot, mm; 44.45 in racks after IEC 60297', { above: 0 }),
  }),
  materials: z.record(identifier('name of a material'), materialSchema, {
    error: 'give an object with one entry for each material (materials of this file)',
  }).meta({ description: 'Materials of this file, by the name its sections use.' }).default({}),
  poles: polesSchema,
  film: filmSchema,
  air: airSchema,
  limits: limitsSchema,
  feed: feedSchema,
  frame: frameSchema.optional(),
  operatingStates: list('states in which every limit must hold',
    choice('all-in-service; one-source-out: each power shelf out in turn; batteries-alone: only battery shelves feed',
      STATES), 1),
});

export type RackFile = z.output<typeof rackSchema>;
export type PoleFile = z.output<ReturnType<typeof poleSchema>>;
