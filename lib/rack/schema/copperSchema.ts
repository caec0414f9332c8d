import { z } from 'zod';
import { choice, identifier, list, number, object, preamble, slot, tag, text, variants } from './parts.js';

export const COPPER_FORMAT = 'slotcast-copper/1';

const POLES = 'which poles are changed';
const depthMm = number('broad side of a plate, mm', { above: 0 });
const thicknessMm = number('narrow side of a plate, mm', { above: 0 });
const count = number('plates of a pole', { from: 1, to: 20, whole: true });
const gapMm = number('clear distance between neighbouring plates, mm', { above: 0 });
const material = identifier('a built-in material, or one that the base rack uses');
const aboveSlot = slot('the joint lies between this slot and the next one up');

const plates = {
  depthMm: depthMm.optional(),
  thicknessMm: thicknessMm.optional(),
  count: count.optional(),
  gapMm: gapMm.optional(),
  material: material.optional(),
};

const sections = list('sections of a stepped bar, together every slot once; what one leaves out is as in the base',
  object('a stretch with plates of its own', {
    fromSlot: slot('lowest slot of the section'),
    toSlot: slot('highest slot of the section, included'),
    ...plates,
  }), 1);

const joints = list('joints in place of the base\'s', object('a bolted connection', {
  aboveSlot,
  microOhm: number('resistance of the joint, µΩ', { from: 0 }),
}));

const poles = choice(POLES, ['both', 'supply', 'return']).default('both');

const design = object('one variant of the bar', {
  name: text('name shown in tables'),
  poles,
  ...plates,
  jointAboveSlot: aboveSlot.optional(),
  joints: joints.optional(),
  sections: sections.optional(),
});

const sweep = object('every combination of what is listed is one design', {
  poles,
  depthMm: list('broad sides of a plate, mm', depthMm, 1).optional(),
  thicknessMm: list('narrow sides of a plate, mm', thicknessMm, 1).optional(),
  count: list('numbers of plates of a pole', count, 1).optional(),
  gapMm: list('clear distances between neighbouring plates, mm', gapMm, 1).optional(),
  material: list('materials', material, 1).optional(),
  jointAboveSlot: list('places of the one joint', aboveSlot, 1).optional(),
  tapers: list('stepped bars', object('a stepped bar', { name: text('name shown in tables'), sections }), 1).optional(),
});

const wanted = {
  wantedKw: number('power to be carried, kW', { above: 0 }),
  basis: choice('percentile: of the scenarios; floor: proven for every allowed placement', ['percentile', 'floor'])
    .default('percentile'),
  toleranceMm: number('how near the answer shall be, mm; with "scale", of the depth of the deepest plate', { above: 0 }),
  poles,
};
const ends = (from: string, to: string) => ({
  fromMm: number(from, { above: 0 }), toMm: number(to, { above: 0 }),
});
const VARY = 'dimension that is varied without steps';
const least = z.discriminatedUnion('vary', [
  object('plate depth', { vary: tag('depth', VARY), ...wanted, ...ends('least depth, mm', 'largest depth, mm') }),
  object('plate thickness',
    { vary: tag('thickness', VARY), ...wanted, ...ends('least thickness, mm', 'largest thickness, mm') }),
  object('depth and thickness by one factor', {
    vary: tag('scale', VARY), ...wanted,
    fromFactor: number('least factor on depth and thickness', { above: 0 }),
    toFactor: number('largest factor on depth and thickness', { above: 0 }),
  }),
], { error: variants('vary', ['depth', 'thickness', 'scale'], VARY) })
  .meta({ description: 'Least copper that carries a power.' });

const place = (what: string) => ({
  fromFrontMm: number(`${what}, mm behind the front edge of the base`),
  fromLeftMm: number(`${what}, mm right of the left edge of the base, seen from the front`),
});

const balance = object('what a tipping angle needs beside the masses of the catalogue', {
  rack: object('the rack without bar and units', {
    massKg: number('mass, kg', { above: 0 }),
    centreHeightMm: number('height of its centre of mass above the floor, mm', { above: 0 }),
    ...place('its centre of mass'),
  }),
  base: object('footprint', {
    frontToRearMm: number('depth of the base, mm', { above: 0 }),
    leftToRightMm: number('width of the base, mm', { above: 0 }),
  }),
  feet: object('lines on which the outermost feet stand', {
    frontMm: number('front feet, mm behind the front edge of the base'),
    rearMm: number('rear feet, mm behind the front edge of the base'),
    leftMm: number('left feet, mm right of the left edge of the base'),
    rightMm: number('right feet, mm right of the left edge of the base'),
  }),
  firstSlotHeightMm: number('height of the lower edge of slot 1 above the floor, mm', { from: 0 }),
  bar: object('where the bar stands', place('the bar')),
  units: object('where the units\' centres of mass are', place('centre of mass of a unit')),
  unitsElsewhere: list('units whose centre of mass is elsewhere', object('one type of unit', {
    equipment: identifier('id of the catalogue'), ...place('its centre of mass'),
  })).default([]),
});

/** The copper file. */
export const copperSchema = object('Variants of a rack\'s bar, rated on the same scenarios: which copper buys the next label.', {
  ...preamble(COPPER_FORMAT, 'copper'),
  study: text('study file of the base rack, relative to this file', 1000),
  percentilePercent: number('percentile of rated power that designs are compared by, per cent', { above: 0, below: 100 }),
  scenarios: number('number of scenarios; without it, as the study says', { from: 1, to: 10_000_000, whole: true }).optional(),
  loadKw: number('total load at which voltage drop and heat are stated, kW', { above: 0 }),
  currency: text('currency of the prices', 20).optional(),
  prices: list('what a kilogram costs', object('price of a material', {
    material: identifier('a built-in material, or one that the base rack uses'),
    pricePerKg: number('price of one kg, in the currency given', { from: 0 }),
  })).default([]),
  sweep: sweep.optional(),
  designs: list('variants of the bar, one by one', design).default([]),
  least: least.optional(),
  floor: object('proves a floor for each design', {
    secondsPerDesign: number('time for search and floor of one design, s', { above: 0, to: 3600 }),
    coverPercent: number('part of each uncertain quantity that the floor covers, per cent; without it, as the files say',
      { above: 0, to: 100 }).optional(),
  }).optional(),
  varianceRuns: number('runs with seeds of their own that measure what common scenarios gain; 0: none',
    { from: 0, to: 1000, whole: true }).default(20),
  balance: balance.optional(),
});

export type CopperFile = z.output<typeof copperSchema>;
