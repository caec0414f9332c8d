import { readAir } from './air.js';
import { readFilms } from './films.js';
import { readLimits } from './limits.js';
import { BUILT_IN_MATERIALS } from './material.js';
import type { Frame, Material, Pole, Rack } from './model.js';
import { logImplausible } from './plausible.js';
import { type PoleContext, readPole } from './poles.js';
import { hasFormat, logPrototypeKeys, parseParts } from './schema/parsedParts.js';
import { RACK_FORMAT, type RackFile, rackSchema } from './schema/rackSchema.js';
import type { ProblemLog } from './text/problemLog.js';
import { fromMicroOhm, fromMm, fromNanoOhmM } from './text/units.js';

function readMaterials(file: RackFile['materials'], log: ProblemLog): Material[] {
  const own = Object.entries(file).map(([id, material]): Material => {
    if (BUILT_IN_MATERIALS.some((builtIn) => builtIn.id === id)) {
      log.add(`materials.${id}`, 'the name of a built-in material', 'give your material another name');
    }
    return {
      id,
      resistivity20: fromNanoOhmM(material.resistivityNanoOhmM),
      temperatureCoefficient: material.temperatureCoefficientPerK,
      thermalConductivity: material.thermalConductivityWPerMK,
      density: material.densityKgPerM3,
      specificHeat: material.specificHeatJPerKgK,
      source: material.source,
    };
  });
  return [...BUILT_IN_MATERIALS, ...own];
}

function readPoles(file: RackFile['poles'], context: PoleContext): { supply: Pole; return: Pole } {
  if ('both' in file) {
    const both = readPole(file.both, 'poles.both', context);
    return { supply: both, return: both };
  }
  return {
    supply: readPole(file.supply, 'poles.supply', context),
    return: readPole(file.return, 'poles.return', context),
  };
}

/** `facingFaces` must be given where there are facing faces and the films are given face by face, and only there. */
function logFacingFilm({ film, poles }: Partial<RackFile>, log: ProblemLog): void {
  if (film === undefined || poles === undefined || 'model' in film) {
    return;
  }
  const sections = 'both' in poles ? poles.both.sections : [...poles.supply.sections, ...poles.return.sections];
  const facing = sections.some(({ plates }) => plates.count > 1);
  if (film.facingFaces !== undefined && !facing) {
    log.add('film.facingFaces', `"${film.facingFaces.model}", with one plate in every section`,
      'leave "facingFaces" out: only several plates in a pole face each other');
  }
  if (film.facingFaces === undefined && facing) {
    log.add('film.facingFaces', 'nothing, with sections of several plates',
      'give the film between facing plates, for example {"model": "channel"}');
  }
}

function logRepeatedStates(states: readonly string[], log: ProblemLog): void {
  states.forEach((state, index) => {
    if (states.indexOf(state) < index) {
      log.add(`operatingStates[${index}]`, `"${state}" a second time`, 'name each operating state once');
    }
  });
}

function readFrame(file: NonNullable<RackFile['frame']>, slotCount: number | null, log: ProblemLog): Frame {
  const seen = new Set<number>();
  file.bonds.forEach(({ slot }, index) => {
    if (slotCount !== null && slot > slotCount) {
      log.add(`frame.bonds[${index}].slot`, String(slot), `give a slot from 1 to ${slotCount}`);
    }
    if (seen.has(slot)) log.add(`frame.bonds[${index}].slot`, `${slot} a second time`, 'give one connection for each slot');
    seen.add(slot);
  });
  return {
    resistancePerMetre: fromMicroOhm(file.microOhmPerM),
    bonds: file.bonds.map(({ slot, microOhm, maxA }) => ({
      slot, resistance: fromMicroOhm(microOhm), maxCurrent: maxA ?? Number.POSITIVE_INFINITY,
    })),
  };
}

/** A rack from parsed JSON; null where a problem was logged. */
export function readRack(json: unknown, log: ProblemLog): Rack | null {
  if (!hasFormat(json, RACK_FORMAT, 'rack', log)) {
    return null;
  }
  logPrototypeKeys(json, '', log);
  const { parts } = parseParts(rackSchema, json, log);
  logImplausible(json, log);
  const slotCount = parts.slots?.count ?? null;
  const materials = parts.materials === undefined ? null : readMaterials(parts.materials, log);
  const poles = parts.poles && readPoles(parts.poles, { slotCount, materials, log });
  logFacingFilm(parts, log);
  const air = parts.air && slotCount !== null ? readAir(parts.air, slotCount, log) : undefined;
  const limits = parts.limits && readLimits(parts.limits, parts, log);
  const frame = parts.frame === undefined ? {} : { frame: readFrame(parts.frame, slotCount, log) };
  logRepeatedStates(parts.operatingStates ?? [], log);
  if (!log.isEmpty) {
    return null;
  }
  const file = parts as RackFile;
  return {
    name: file.name,
    slotCount: file.slots.count,
    pitch: fromMm(file.slots.pitchMm),
    supply: (poles as { supply: Pole }).supply,
    return: (poles as { return: Pole }).return,
    films: readFilms(file.film),
    air: air as Rack['air'],
    limits: limits as Rack['limits'],
    setVoltage: file.feed.setV,
    sharing: { model: file.feed.sharing },
    operatingStates: file.operatingStates,
    ...frame,
  };
}
