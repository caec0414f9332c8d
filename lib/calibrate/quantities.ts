/** What a heat run can be asked for. FitValues are in the unit of the key, as files carry them. */
import type { Rack } from '../rack/model.js';
import { suggestion } from '../rack/text/spelling.js';
import { CalibrationError } from './errors.js';

export const FIT_QUANTITIES = [
  'filmFactor',
  'emissivity',
  'contactFactor',
  'sourceContact',
  'loadContact',
  'areaFactor',
  'exhaustRise',
] as const;
export type FitQuantity = (typeof FIT_QUANTITIES)[number];

export interface QuantityTraits {
  /** In sentences. */
  readonly words: string;
  /** Key of its value in files, ending in the unit where there is one. */
  readonly key: string;
  /** Unit on screen; empty for a pure number. */
  readonly unit: string;
  /** No value outside is looked for: wide beyond anything built (common practice, no published source). */
  readonly lowest: number;
  readonly highest: number;
  /** Where the fit begins: what the files say. */
  start(rack: Rack): number;
}

const one = () => 1;

export const QUANTITY_TRAITS: Readonly<Record<FitQuantity, QuantityTraits>> = {
  // All of the film's factor, the rack file's own included.
  filmFactor: {
    words: 'film factor',
    key: 'filmFactor',
    unit: '',
    lowest: 0.02,
    highest: 50,
    start: ({ films }) => films.factor,
  },
  // One for every section.
  emissivity: { words: 'emissivity', key: 'emissivity', unit: '', lowest: 0.005, highest: 1, start: meanEmissivity },
  contactFactor: {
    words: 'factor on all contacts',
    key: 'contactFactor',
    unit: '',
    lowest: 0.01,
    highest: 100,
    start: one,
  },
  sourceContact: {
    words: 'factor on source contacts',
    key: 'sourceContactFactor',
    unit: '',
    lowest: 0.01,
    highest: 100,
    start: one,
  },
  loadContact: {
    words: 'factor on load contacts',
    key: 'loadContactFactor',
    unit: '',
    lowest: 0.01,
    highest: 100,
    start: one,
  },
  areaFactor: {
    words: 'factor on the cross-section',
    key: 'areaFactor',
    unit: '',
    lowest: 0.3,
    highest: 3,
    start: one,
  },
  exhaustRise: {
    words: 'exhaust rise',
    key: 'exhaustRiseKPerKw',
    unit: 'K/kW',
    lowest: 0,
    highest: 100,
    start: ({ air }) => 1e3 * air.exhaustRise,
  },
};

function meanEmissivity(rack: Rack): number {
  const sections = [...rack.supply.sections, ...rack.return.sections];
  const slots = sections.map(({ fromSlot, toSlot }) => toSlot - fromSlot + 1);
  const sum = sections.reduce((all, { emissivity }, at) => all + emissivity * slots[at], 0);
  return sum / slots.reduce((all, count) => all + count, 0);
}

/**
 * Names of quantities as a user gives them.
 * @throws CalibrationError for an unknown or repeated name, none at all, or a common contact factor beside its parts
 */
export function fitQuantities(names: readonly string[]): FitQuantity[] {
  const all = FIT_QUANTITIES.join(', ');
  if (names.length === 0) throw new CalibrationError('no quantity to fit', `name some of ${all}`);
  const found = names.map((name): FitQuantity => {
    const known = FIT_QUANTITIES.find((quantity) => quantity === name);
    if (known === undefined)
      throw new CalibrationError(`the quantity "${name}"`, `${suggestion(name, FIT_QUANTITIES)}name some of ${all}`);
    return known;
  });
  const twice = found.find((name, at) => found.indexOf(name) < at);
  if (twice !== undefined) throw new CalibrationError(`"${twice}" twice`, 'name each quantity once');
  const part = found.find((name) => name === 'sourceContact' || name === 'loadContact');
  if (found.includes('contactFactor') && part !== undefined) {
    throw new CalibrationError(
      `"contactFactor" and "${part}"`,
      'the first acts on all contacts: fit it, or the contacts of sources and loads',
    );
  }
  return found;
}
