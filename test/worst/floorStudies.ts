/** Small studies made so that every kind of limit binds, and builds and units at the ends of their ranges. */
import { type Build, NOMINAL_BUILD, type PlacedUnit } from '../../lib/draw/index.js';
import type { Study } from '../../lib/rack/index.js';
import { type Range, type ToleranceRanges, toleranceRanges } from '../../lib/worst/toleranceRanges.js';
import { smallStudy } from './smallStudies.js';

/** Builds at ends of the ranges: that with everything at its hot end, and others with area, inlet and film at either end. */
export function builds(ranges: ToleranceRanges): Build[] {
  const { contactFactor, filmFactor, emissivity, areaFactor, inlet } = ranges;
  if (ranges.coverPercent === null) return [NOMINAL_BUILD];
  const ends = (range: Range) => [range.min, range.max];
  return ends(areaFactor).flatMap((area) => ends(inlet).flatMap((air) => ends(filmFactor).map((film) => ({
    contactFactor: contactFactor.max, filmFactor: film, emissivity: emissivity === null ? null : emissivity.min,
    areaFactor: area, inlet: air,
  }))));
}

/** Units with contacts and weights at ends of their ranges. */
export function atEnds(units: readonly PlacedUnit[], ranges: ToleranceRanges, turn: number): PlacedUnit[] {
  if (ranges.coverPercent === null) return [...units];
  const { sourceContact, loadContact, sharingWeight } = ranges;
  return units.map((unit, k) => {
    const contact = (unit.kind === 'load' ? loadContact : sourceContact)?.max;
    return {
      ...unit,
      contactResistance: contact === undefined ? unit.contactResistance : [contact, contact] as const,
      sharingWeight: (k + turn) % 2 === 0 ? sharingWeight.max : sharingWeight.min,
    };
  });
}

/** Every fourth study with hot units on the bar; every fifth with sources so stiff that the bar decides who feeds, or that share unevenly. */
function hotOrStiff(study: Study, seed: number): Study {
  const { catalogue } = study;
  const heatPath = { conductance: 0.4, rise: 45 };
  const loads = seed % 4 === 1 ? catalogue.loads.map((load) => ({ ...load, heatPath })) : catalogue.loads;
  const sources = seed % 5 === 2 ? catalogue.sources.map((source) => ({
    ...source, droopResistance: 8e-5, contact: { ...source.contact, resistance: 4e-6 },
  })) : catalogue.sources;
  if (seed % 5 !== 3) return { ...study, catalogue: { ...catalogue, loads, sources } };
  // Contacts of sources that are hot, and sources that share unevenly.
  const lossy = sources.map((source) => ({ ...source, contact: { ...source.contact, resistance: 3e-4, heatShare: 1 } }));
  const uncertain = { ...study.uncertain, sharingWeight: { distribution: 'uniform', min: 0.6, max: 1.4 } as const };
  return { ...study, catalogue: { ...catalogue, loads, sources: lossy }, uncertain };
}

/** Every second study without limits on currents and powers, so that temperatures bind. */
export function varied(study: Study, seed: number): Study {
  if (seed % 2 === 0) return study;
  const unlimited = { maxCurrent: Number.POSITIVE_INFINITY, maxPower: Number.POSITIVE_INFINITY };
  const limits = { ...study.rack.limits, loadContactCurrent: Number.POSITIVE_INFINITY, lowestLoadVoltage: Number.NEGATIVE_INFINITY };
  return {
    ...study, rack: { ...study.rack, limits },
    catalogue: { ...study.catalogue, sources: study.catalogue.sources.map((source) => ({ ...source, ...unlimited })) },
  };
}

/** The study of a seed, a floor to be proven for it. */
export const floorStudy = (seed: number) => hotOrStiff(varied(smallStudy(seed), seed), seed);

export const rangesOf = (study: Study, seed: number) => toleranceRanges(study, seed % 3 === 1 || seed % 5 === 3 ? 90 : null);
