import { z } from 'zod';
import { identifier, number, object, slot, tag, variants } from './parts.js';

const GROUPS = ['sources', 'power-shelves', 'battery-shelves', 'loads'] as const;

const units = (what: string) => z.union([
  z.enum(GROUPS),
  object('units of one type', { id: identifier('id of a source or load of the catalogue') }),
], { error: `give "sources", "power-shelves", "battery-shelves", "loads" or {"id": …} (${what})` })
  .meta({ description: what });

const band = { fromSlot: slot('lowest slot of the band'), toSlot: slot('highest slot of the band, included') };
const powerKw = number('highest power, kW, as drawn', { above: 0 });

const WHAT = 'placement rule';
const RULES = [
  'only-in-band', 'keep-out', 'not-next-to', 'max-power-per-slot', 'max-power-in-band', 'together', 'apart',
  'min-free-slots',
] as const;

/** A placement rule. */
export const ruleSchema = z.discriminatedUnion('rule', [
  object('these units stand wholly within the band',
    { rule: tag('only-in-band', 'kind of rule'), units: units('units the rule speaks of'), ...band }),
  object('these units take no slot of the band',
    { rule: tag('keep-out', 'kind of rule'), units: units('units the rule speaks of'), ...band }),
  object('no unit of the one kind stands directly above or below a unit of the other',
    { rule: tag('not-next-to', 'kind of rule'), units: units('the one kind'), neighbours: units('the other kind') }),
  object('no load draws more than this for each slot of its height',
    { rule: tag('max-power-per-slot', 'kind of rule'), powerKw }),
  object('the loads in the band draw together at most this; a unit counts with the share of its slots in the band',
    { rule: tag('max-power-in-band', 'kind of rule'), ...band, powerKw }),
  object('these units form one block without a gap',
    { rule: tag('together', 'kind of rule'), units: units('units the rule speaks of') }),
  object('at least this many slots lie between any two of these units', {
    rule: tag('apart', 'kind of rule'),
    units: units('units the rule speaks of'),
    slotsBetween: number('slots between', { from: 1, whole: true }),
  }),
  object('at least this many slots stay empty',
    { rule: tag('min-free-slots', 'kind of rule'), count: number('empty slots', { from: 1, whole: true }) }),
], { error: variants('rule', RULES, WHAT) }).meta({ description: WHAT });

export type RuleFile = z.output<typeof ruleSchema>;
