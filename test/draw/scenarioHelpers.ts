import type { PlacedUnit } from '../../lib/draw/scenario.js';
import { scenarioSource } from '../../lib/draw/scenarioSource.js';
import type { Study } from '../../lib/rack/studyModel.js';

export function loadsOf(units: readonly PlacedUnit[]): PlacedUnit[] {
  return units.filter((unit) => unit.kind === 'load');
}

export function sourcesOf(units: readonly PlacedUnit[]): PlacedUnit[] {
  return units.filter((unit) => unit.kind !== 'load');
}

/** `id@slot` of every unit, from the bottom. */
export function placeNames(units: readonly PlacedUnit[]): string {
  return units.map(({ equipment, bottomSlot }) => `${equipment}@${bottomSlot}`).join(' ');
}

/** The placements of scenarios 0..count−1. */
export function drawnUnits(study: Study, count: number): (readonly PlacedUnit[])[] {
  const source = scenarioSource(study);
  return Array.from({ length: count }, (_, index) => source.draw(index).scenario.units);
}

/** How often each name occurs among the wanted ones; throws on any other. */
export function tally(names: readonly string[], wanted: readonly string[]): number[] {
  const seen = new Map(wanted.map((name) => [name, 0]));
  for (const name of names) {
    const count = seen.get(name);
    if (count === undefined) throw new Error(`"${name}" was not expected`);
    seen.set(name, count + 1);
  }
  return [...seen.values()];
}
