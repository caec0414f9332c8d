import { z } from 'zod';
import { choice, identifier, list, number, object, preamble, slot, text } from './parts.js';

export const CATALOGUE_FORMAT = 'slotcast-catalogue/1';

const gripSchema = z.union([
  z.literal('whole-depth'),
  object('a contact on the front edge of the bar, from where current and heat spread over the depth', {
    edgeHeightMm: number('height of the contact along the front edge, mm; less than one slot', { above: 0 }),
  }),
], { error: 'give {"edgeHeightMm": height of the contact}, or "whole-depth" where it grips the whole depth of the bar' })
  .meta({ description: 'Which part of the bar the contact grips.' });

const contact = object('where the unit grips the bar, each pole alike', {
  microOhm: number('contact resistance of one pole, µΩ', { from: 0 }),
  thermalResistanceKPerW: number('thermal resistance from the contact spot to the bar, K/W', { from: 0 }),
  grip: gripSchema,
  heatShare: number('share of the contact heat that enters the bar, 0 to 1', { from: 0, to: 1 }).default(1),
});

const heatPath = object('heat path between the unit and the bar besides the heat of the contact itself', {
  conductanceWPerK: number('thermal conductance from the unit to each pole, W/K', { from: 0 }),
  riseK: number('the unit\'s end of the path above the local air, K'),
}).default({ conductanceWPerK: 0, riseK: 0 });

const common = {
  id: identifier('name that studies and inventories use'),
  name: text('name shown on screens and in reports'),
  heightSlots: number('height, slots', { from: 1, whole: true }),
  contactSlot: slot('which slot of the unit holds its contact'),
  contact,
  heatPath,
  groundContact: object('where the unit\'s return side touches the metal frame; of account in a rack with a frame', {
    microOhm: number('its resistance, µΩ', { above: 0, to: 1e12 }),
    maxA: number('highest current through it, A; without it, no limit', { above: 0 }).optional(),
  }).optional(),
  massKg: number('mass, kg', { from: 0 }),
};

const source = object('type of source', {
  ...common,
  kind: choice('what feeds the bar', ['power-shelf', 'battery-shelf']),
  maxCurrentA: number('highest output current, A; without it, no limit', { above: 0 }).optional(),
  maxPowerKw: number('highest output power at its terminals, kW; without it, no limit', { above: 0 }).optional(),
  droopMilliOhm: number('fall of its voltage with current, mΩ; needed where the rack shares by droop', { above: 0 })
    .optional(),
});

const load = object('type of load', {
  ...common,
  powerKw: object('range from which a unit\'s power is drawn, kW', {
    min: number('lowest power, kW', { above: 0 }),
    max: number('highest power, kW', { above: 0 }),
  }),
  mixWeight: number('how often this type is drawn, relative to the others', { above: 0 }).default(1),
});

/** The equipment catalogue. */
export const catalogueSchema = object('Equipment that may stand in a rack: sources and loads.', {
  ...preamble(CATALOGUE_FORMAT, 'catalogue'),
  sources: list('types of source', source, 1),
  loads: list('types of load', load, 1),
});

export type CatalogueFile = z.output<typeof catalogueSchema>;
