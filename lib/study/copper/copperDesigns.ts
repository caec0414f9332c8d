import { changedRack, type InputProblem, type NamedChange, type Rack, type Study } from '../../rack/index.js';

/** A variant of the base rack's bar. */
export interface CopperDesign {
  readonly name: string;
  readonly rack: Rack;
}

export interface CopperDesigns {
  /** In the order given; those with the base's own bar are among `sameAsBase`. */
  readonly designs: readonly CopperDesign[];
  readonly sameAsBase: readonly string[];
  /** What no rack file could say, with why; the others are not touched by it. */
  readonly impossible: readonly { readonly name: string; readonly problems: readonly InputProblem[] }[];
}

/**
 * Variants of a study's rack in which only the bar differs, each checked as a rack file is.
 * @example copperDesigns(study, [{ name: 'deeper', change: { depth: 0.2 } }]);
 */
export function copperDesigns({ rack: base }: Study, changes: readonly NamedChange[]): CopperDesigns {
  const designs: CopperDesign[] = [];
  const sameAsBase: string[] = [];
  const impossible: { name: string; problems: readonly InputProblem[] }[] = [];
  const own = barWords(base);
  for (const { name, change } of changes) {
    const { rack, problems } = changedRack(base, change, name);
    if (rack === null) impossible.push({ name, problems });
    else if (barWords(rack) === own) sameAsBase.push(name);
    else designs.push({ name, rack });
  }
  return { designs, sameAsBase, impossible };
}

/** Two racks of one base with the same words have the same bar. */
function barWords(rack: Rack): string {
  return JSON.stringify([rack.supply, rack.return], (_, value: unknown) => (
    typeof value === 'number' ? Number(value.toPrecision(12)) : value
  ));
}
