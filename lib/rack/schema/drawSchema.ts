import { z } from 'zod';
import { choice, identifier, list, number, object, slot, tag, text, variants } from './parts.js';

const bottomSlot = slot('lowest slot the unit takes');
const sourceId = identifier('id of a source of the catalogue');
const loadId = identifier('id of a load of the catalogue');
const totalPowerKw = number('power of all loads together, kW', { above: 0 });
const unitCount = object('number of units; each whole number from min to max is equally likely', {
  min: number('fewest units', { from: 1, whole: true }),
  max: number('most units', { from: 1, whole: true }),
});

const POSITIONS = 'where the sources stand';

const positions = z.discriminatedUnion('draw', [
  object('every arrangement the rules allow is equally likely', { draw: tag('uniform', 'kind of draw') }),
  object('all sources in one block, every such arrangement equally likely',
    { draw: tag('contiguous', 'kind of draw') }),
  object('sources in blocks that do not touch', {
    draw: tag('groups', 'kind of draw'),
    sizes: list('number of sources in each block, in any order',
      number('sources in a block', { from: 1, whole: true }), 1),
  }),
  object('a given number of sources within each band', {
    draw: tag('bands', 'kind of draw'),
    bands: list('bands that do not overlap', object('a band of slots', {
      fromSlot: slot('lowest slot of the band'),
      toSlot: slot('highest slot of the band, included'),
      count: number('sources wholly within the band', { from: 0, whole: true }),
    }), 1),
  }),
  object('given places', {
    draw: tag('fixed', 'kind of draw'),
    units: list('the sources one by one', object('a source', { id: sourceId, bottomSlot }), 1),
  }),
], { error: variants('draw', ['uniform', 'contiguous', 'groups', 'bands', 'fixed'], POSITIONS) })
  .meta({ description: POSITIONS });

/** Which sources stand in the rack, and where. */
export const sourcesSchema = object('sources of the rack', {
  units: list('how many of which source; may be left out where "positions" names them one by one', object('a source', {
    id: sourceId,
    count: number('number of them', { from: 0, whole: true }),
  })).optional(),
  positions,
});

const LOADS = 'how the loads are drawn';

/** How the loads are drawn. */
export const loadsSchema = z.discriminatedUnion('draw', [
  object('given loads at given places', {
    draw: tag('fixed', 'kind of draw'),
    units: list('the loads one by one', object('a load', {
      id: loadId,
      bottomSlot,
      powerKw: number('power of the unit, kW', { above: 0 }),
    }), 1),
  }),
  object('equal power on units at drawn places', {
    draw: tag('even', 'kind of draw'), id: loadId, count: unitCount, totalPowerKw,
  }),
  object('the total split at random over units at drawn places', {
    draw: tag('random-split', 'kind of draw'),
    id: loadId,
    count: unitCount,
    totalPowerKw,
    concentration: number('concentration of the symmetric Dirichlet distribution: 1 = every split equally likely, '
      + 'large = nearly even, small = a few units take nearly all', { above: 0 }),
  }),
  object('units drawn from the catalogue until nothing fits or the total is reached', {
    draw: tag('catalogue', 'kind of draw'),
    totalPowerKw,
    fill: choice('where the next unit goes', ['anywhere', 'bottom-up', 'top-down']),
  }),
  object('every free place at its cap or empty', {
    draw: tag('all-or-nothing', 'kind of draw'),
    id: loadId,
    capKw: number('power of a unit that is on, kW', { above: 0 }),
    chanceFullPercent: number('chance that a place is at its cap, per cent', { above: 0, to: 100 }),
  }),
  object('a rack of an inventory, each equally likely', {
    draw: tag('inventory', 'kind of draw'),
    file: text('CSV file with rack,bottomSlot,heightSlots,equipment,powerKw, relative to the study file', 1000),
    places: choice('observed: each unit keeps its place where it is free, else it takes the nearest free one; '
      + 'shuffled: the units are placed anew', ['observed', 'shuffled']),
  }),
], { error: variants('draw', ['fixed', 'even', 'random-split', 'catalogue', 'all-or-nothing', 'inventory'], LOADS) })
  .meta({ description: LOADS });

export type SourcesFile = z.output<typeof sourcesSchema>;
export type LoadsFile = z.output<typeof loadsSchema>;
