/**
 * The ranges over which a worst case or a floor holds: the user chooses how much of each uncertain quantity's
 * distribution a range has to cover.
 */
import { type Build, distributionQuantile, NOMINAL_BUILD } from '../draw/index.js';
import type { Distribution, Study } from '../rack/index.js';

export interface Range {
  readonly min: number;
  readonly max: number;
}

/** Ranges of everything uncertain in a study; min equals max where nothing varies. */
export interface ToleranceRanges {
  /** Per cent of each distribution that its range covers, the same left out at both ends; null: all is as in the files. */
  readonly coverPercent: number | null;
  readonly contactFactor: Range;
  readonly filmFactor: Range;
  /** null: each section's own. */
  readonly emissivity: Range | null;
  readonly areaFactor: Range;
  /** K. */
  readonly inlet: Range;
  /** Ω of one pole; null: as in the catalogue. */
  readonly sourceContact: Range | null;
  readonly loadContact: Range | null;
  readonly sharingWeight: Range;
}

/**
 * Ranges that cover `coverPercent` of each distribution of a study, e.g. 98: from the 1st to the 99th percentile.
 *
 * @param coverPercent above 0 up to 100; null for everything as the files say (contact resistances of the catalogue)
 * @throws RangeError where a distribution without an end is to be covered whole
 */
export function toleranceRanges(study: Study, coverPercent: number | null): ToleranceRanges {
  if (coverPercent !== null && !(coverPercent > 0 && coverPercent <= 100)) {
    throw new RangeError(`coverPercent ${coverPercent}: give above 0 to 100, or null for the nominal rack`);
  }
  const { perScenario, sourceContact, loadContact, sharingWeight } = study.uncertain;
  const range = (given: Distribution | null | undefined, path: string): Range | null => {
    if (coverPercent === null || given === null || given === undefined) return null;
    return covered(given, coverPercent, `uncertain.${path}`);
  };
  const point = (value: number): Range => ({ min: value, max: value });
  return {
    coverPercent,
    contactFactor: range(perScenario.contactFactor, 'contactFactor') ?? point(NOMINAL_BUILD.contactFactor),
    filmFactor: range(perScenario.filmFactor, 'filmFactor') ?? point(NOMINAL_BUILD.filmFactor),
    emissivity: range(perScenario.emissivity, 'emissivity'),
    areaFactor: range(perScenario.areaFactor, 'areaFactor') ?? point(NOMINAL_BUILD.areaFactor),
    inlet: range(perScenario.inlet, 'inletC') ?? point(study.rack.air.inlet),
    sourceContact: range(sourceContact, 'sourceContactMicroOhm'),
    loadContact: range(loadContact, 'loadContactMicroOhm'),
    sharingWeight: range(sharingWeight, 'sharingWeight') ?? point(1),
  };
}

/** The build with everything at the end of its range that leaves least, at an inlet temperature, K. */
export function worstBuild(ranges: ToleranceRanges, inlet: number): Build {
  const { contactFactor, filmFactor, emissivity, areaFactor } = ranges;
  return {
    contactFactor: contactFactor.max, filmFactor: filmFactor.min, emissivity: emissivity?.min ?? null,
    areaFactor: areaFactor.min, inlet,
  };
}

function covered(given: Distribution, coverPercent: number, path: string): Range {
  const tail = (100 - coverPercent) / 200;
  const quantile = distributionQuantile(given, path);
  const [min, max] = [quantile(Math.max(tail, Number.MIN_VALUE)), quantile(Math.min(1 - tail, 1 - 2 ** -53))];
  const hasEnds = given.distribution === 'normal' || given.distribution === 'lognormal'
    ? Number.isFinite(given.min) && Number.isFinite(given.max) : true;
  if (tail === 0 && !hasEnds) {
    throw new RangeError(
      `${path}: found a ${given.distribution} distribution without ends; `
      + 'give it "min" and "max", or cover less than 100 % of it',
    );
  }
  return tail > 0 ? { min, max } : { min: endOf(given, min, 'min'), max: endOf(given, max, 'max') };
}

/** The very end of a distribution, which the quantile function only comes near to. */
function endOf(given: Distribution, near: number, side: 'min' | 'max'): number {
  switch (given.distribution) {
    case 'fixed':
      return given.value;
    case 'measured':
      return given.values.reduce((end, value) => Math[side](end, value), near);
    default:
      return given[side];
  }
}
