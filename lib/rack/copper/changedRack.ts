/** A base rack with another bar, checked as a rack file would be. */
import { BUILT_IN_MATERIALS } from '../material.js';
import type { Material, Pole, Rack, Section } from '../model.js';
import { type PoleContext, readPole } from '../poles.js';
import { parseParts } from '../schema/parsedParts.js';
import { type PoleFile, rackSchema } from '../schema/rackSchema.js';
import { ProblemLog } from '../text/problemLog.js';
import type { InputProblem } from '../errors.js';
import type { BarChange, PlateChange } from './copperModel.js';

/** A rack, or why no rack can be built so. */
export type ChangedRack =
  | { readonly rack: Rack; readonly problems: readonly [] }
  | { readonly rack: null; readonly problems: readonly InputProblem[] };

/** Materials that a change may name: the built-in ones and those the base uses. */
export function materialsKnown(rack: Rack): readonly Material[] {
  const own = [...rack.supply.sections, ...rack.return.sections].map(({ material }) => material);
  return [...new Map([...BUILT_IN_MATERIALS, ...own].map((material) => [material.id, material])).values()];
}

/**
 * The base rack with another bar; everything but the bar is the base's own. The changed poles go through the checks of
 * a rack file, and what is wrong is answered, not thrown.
 */
export function changedRack(rack: Rack, change: BarChange, name = 'design'): ChangedRack {
  const log = new ProblemLog(name);
  const { poles = 'both' } = change;
  const isBoth = poles === 'both' && rack.supply === rack.return;
  const file = isBoth
    ? { poles: { both: poleFile(rack.supply, change, 'poles.both', log) } }
    : {
      poles: {
        supply: poleFile(rack.supply, poles === 'return' ? {} : change, 'poles.supply', log),
        return: poleFile(rack.return, poles === 'supply' ? {} : change, 'poles.return', log),
      },
    };
  const { parts } = parseParts(rackSchema.pick({ poles: true }), file, log);
  const context: PoleContext = { slotCount: rack.slotCount, materials: materialsKnown(rack), log };
  if (parts.poles === undefined) return { rack: null, problems: log.problems };
  const read = 'both' in parts.poles
    ? one(readPole(parts.poles.both, 'poles.both', context))
    : {
      supply: poles === 'return' ? rack.supply : readPole(parts.poles.supply, 'poles.supply', context),
      return: poles === 'supply' ? rack.return : readPole(parts.poles.return, 'poles.return', context),
    };
  logFacingFilm(rack, [...read.supply.sections, ...read.return.sections], log);
  return log.isEmpty ? { rack: { ...rack, ...read }, problems: [] } : { rack: null, problems: log.problems };
}

function one(pole: Pole): { supply: Pole; return: Pole } {
  return { supply: pole, return: pole };
}

/** As the reader of a rack file: films given face by face must name one between facing plates where there are any. */
function logFacingFilm({ films, supply, return: back }: Rack, sections: readonly Section[], log: ProblemLog): void {
  const faces = (all: readonly Section[]) => all.some(({ plates }) => plates.count > 1);
  const byFace = JSON.stringify(films.outerFaces) !== JSON.stringify(films.edges);
  if (!faces(sections) || faces([...supply.sections, ...back.sections]) || !byFace) return;
  log.add('film.facingFaces', 'nothing in the base rack, with sections of several plates in this design',
    'give the film between facing plates in the base rack file');
}

type SectionFile = PoleFile['sections'][number];

function poleFile(pole: Pole, change: BarChange, path: string, log: ProblemLog): PoleFile {
  const { sections, scale = 1 } = change;
  const at = (slot: number) => pole.sections.find(({ fromSlot, toSlot }) => slot >= fromSlot && slot <= toSlot)
    ?? pole.sections[0];
  const stretches = sections === undefined
    ? pole.sections.map((base) => ({ base, own: {}, fromSlot: base.fromSlot, toSlot: base.toSlot }))
    : sections.map((own) => ({ base: at(own.fromSlot), own, fromSlot: own.fromSlot, toSlot: own.toSlot }));
  return {
    sections: stretches.map(({ base, own, fromSlot, toSlot }): SectionFile => ({
      fromSlot, toSlot, ...plateFile(base, { ...change, ...own }, scale),
      emissivity: base.emissivity, openFaces: base.openFaces,
    })),
    joints: jointFile(pole, change, path, log),
  };
}

function plateFile({ material, plates }: Section, change: PlateChange, scale: number) {
  const count = change.count ?? plates.count;
  const inherited = count > 1 && plates.gap > 0 ? plates.gap : undefined;
  const gap = change.gap ?? inherited;
  return {
    material: change.material ?? material.id,
    plates: {
      count,
      depthMm: mm((change.depth ?? plates.depth) * scale),
      thicknessMm: mm((change.thickness ?? plates.thickness) * scale),
      ...(gap === undefined ? {} : { gapMm: mm(gap) }),
    },
  };
}

function jointFile(pole: Pole, change: BarChange, path: string, log: ProblemLog): PoleFile['joints'] {
  const { joints, jointAboveSlot, sections } = change;
  const file = (all: Pole['joints']) => all.map(({ aboveSlot, resistance }) => (
    { aboveSlot, microOhm: tidy(resistance * 1e6) }
  ));
  if (joints !== undefined) return file(joints);
  if (jointAboveSlot !== undefined) {
    if (pole.joints.length === 1) return file([{ ...pole.joints[0], aboveSlot: jointAboveSlot }]);
    log.add(`${path}.joints`, `${pole.joints.length} joints in the base`,
      '"jointAboveSlot" moves the one joint of the base: list "joints" instead');
    return [];
  }
  if (sections === undefined || pole.joints.length === 0) return file(pole.joints);
  const resistances = new Set(pole.joints.map(({ resistance }) => resistance));
  if (resistances.size > 1) {
    log.add(`${path}.joints`, `${resistances.size} different joints in the base`,
      'list "joints" for a stepped bar: which of them lies where sections meet is not known');
  }
  return [...sections].sort((a, b) => a.fromSlot - b.fromSlot).slice(0, -1).map(({ toSlot }) => (
    { aboveSlot: toSlot, microOhm: tidy(pole.joints[0].resistance * 1e6) }
  ));
}

/** mm as a file would say them: the rounding of units does not show. */
function mm(metres: number): number {
  return tidy(metres * 1e3);
}

function tidy(value: number): number {
  return Number(value.toPrecision(13));
}
