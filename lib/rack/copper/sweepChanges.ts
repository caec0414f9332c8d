/** Designs of a copper file: every combination of a sweep, and variants one by one. Units from files to SI. */
import type { CopperFile } from '../schema/copperSchema.js';
import { fromMicroOhm, fromMm } from '../text/units.js';
import type { BarChange, NamedChange, PlateChange, SectionChange } from './copperModel.js';

type SweepFile = NonNullable<CopperFile['sweep']>;
type DesignFile = CopperFile['designs'][number];
type PlateFile = Pick<DesignFile, 'depthMm' | 'thicknessMm' | 'count' | 'gapMm' | 'material'>;

/** A value of one axis of a sweep, and how it reads in a name. */
interface Point {
  readonly words: string;
  readonly change: BarChange;
}

/** Every combination of the axes, the last one varying fastest; a single plate has no gap, so that it stands once. */
export function sweepChanges(file: SweepFile): NamedChange[] {
  const axes = axesOf(file).filter((points) => points.length > 0);
  const start: Point[] = [{ words: '', change: file.poles === 'both' ? {} : { poles: file.poles } }];
  const points = axes.length === 0 ? [] : axes.reduce((before, axis) => before.flatMap((one) => (
    axis.map(({ words, change }) => joined(one, words, change)))), start);
  const suffix = file.poles === 'both' ? '' : `, ${file.poles} pole`;
  return [...new Map(points.map(({ words, change }) => [words, { name: `${words}${suffix}`, change }])).values()];
}

function joined(one: Point, words: string, change: BarChange): Point {
  if (change.gap !== undefined && one.change.count === 1) return one;
  return { words: one.words === '' ? words : `${one.words}, ${words}`, change: { ...one.change, ...change } };
}

function axesOf({ depthMm = [], thicknessMm = [], count = [], gapMm = [], material = [], jointAboveSlot = [], tapers = [] }:
SweepFile): Point[][] {
  return [
    depthMm.map((value) => ({ words: `depth ${value} mm`, change: { depth: fromMm(value) } })),
    thicknessMm.map((value) => ({ words: `thickness ${value} mm`, change: { thickness: fromMm(value) } })),
    count.map((value) => ({ words: `${value} plate${value === 1 ? '' : 's'}`, change: { count: value } })),
    gapMm.map((value) => ({ words: `gap ${value} mm`, change: { gap: fromMm(value) } })),
    material.map((value) => ({ words: value, change: { material: value } })),
    jointAboveSlot.map((value) => ({ words: `joint above slot ${value}`, change: { jointAboveSlot: value } })),
    tapers.map(({ name, sections }) => ({ words: name, change: { sections: sections.map(sectionChange) } })),
  ];
}

/** One variant of a file. */
export function designChange({ name, poles, jointAboveSlot, joints, sections, ...plates }: DesignFile): NamedChange {
  return {
    name,
    change: {
      poles,
      ...plateChange(plates),
      ...(jointAboveSlot === undefined ? {} : { jointAboveSlot }),
      ...(joints === undefined ? {} : {
        joints: joints.map(({ aboveSlot, microOhm }) => ({ aboveSlot, resistance: fromMicroOhm(microOhm) })),
      }),
      ...(sections === undefined ? {} : { sections: sections.map(sectionChange) }),
    },
  };
}

function sectionChange({ fromSlot, toSlot, ...plates }: PlateFile & { fromSlot: number; toSlot: number }): SectionChange {
  return { fromSlot, toSlot, ...plateChange(plates) };
}

function plateChange({ depthMm, thicknessMm, count, gapMm, material }: PlateFile): PlateChange {
  return {
    ...(depthMm === undefined ? {} : { depth: fromMm(depthMm) }),
    ...(thicknessMm === undefined ? {} : { thickness: fromMm(thicknessMm) }),
    ...(count === undefined ? {} : { count }),
    ...(gapMm === undefined ? {} : { gap: fromMm(gapMm) }),
    ...(material === undefined ? {} : { material }),
  };
}
