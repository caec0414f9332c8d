import type { Joint, Material, Pole, Section } from './model.js';
import type { PoleFile } from './schema/rackSchema.js';
import { describeValue, type ProblemLog } from './text/problemLog.js';
import { bareRuns, describeSpan, overlaps } from './text/spans.js';
import { listWords, suggestion } from './text/spelling.js';
import { fromMicroOhm, fromMm } from './text/units.js';

/** What a pole is checked against. Null: that part of the file has problems of its own, so the check is skipped. */
export interface PoleContext {
  readonly slotCount: number | null;
  readonly materials: readonly Material[] | null;
  readonly log: ProblemLog;
}

type SectionFile = PoleFile['sections'][number];

function logSectionSpans(sections: readonly SectionFile[], path: string, slotCount: number, log: ProblemLog): void {
  const before = log.problems.length;
  sections.forEach(({ fromSlot, toSlot }, index) => {
    const where = `${path}.sections[${index}]`;
    if (fromSlot > toSlot) {
      log.add(`${where}.toSlot`, String(toSlot), `give a slot from "fromSlot" (${fromSlot}) upwards`);
    } else if (toSlot > slotCount) {
      log.add(`${where}.toSlot`, String(toSlot), `give at most ${slotCount}, the number of slots of the rack`);
    }
  });
  if (log.problems.length > before) {
    return;
  }
  const spans = sections.map(({ fromSlot, toSlot }) => ({ from: fromSlot, to: toSlot }));
  for (const [lower, upper] of overlaps(spans)) {
    log.add(`${path}.sections[${upper}]`, describeSpan(spans[upper]),
      `sections may not overlap, and sections[${lower}] covers ${describeSpan(spans[lower])}`);
  }
  const bare = bareRuns(spans, slotCount);
  if (bare.length > 0) {
    log.add(`${path}.sections`, `no section for ${bare.map(describeSpan).join(' and ')}`,
      `the sections together must cover slots 1 to ${slotCount}`);
  }
}

function readSection(file: SectionFile, path: string, { materials, log }: PoleContext): Section | null {
  const { count, gapMm } = file.plates;
  if (count > 1 && gapMm === undefined) {
    log.add(`${path}.plates.gapMm`, `nothing, with ${count} plates`,
      'give the clear distance between neighbouring plates in mm');
  }
  if (count === 1 && gapMm !== undefined) {
    log.add(`${path}.plates.gapMm`, `${gapMm}, with one plate`, 'leave "gapMm" out: one plate has no gap');
  }
  const material = materials?.find(({ id }) => id === file.material);
  if (materials !== null && material === undefined) {
    const ids = materials.map(({ id }) => id);
    log.add(`${path}.material`, describeValue(file.material),
      `${suggestion(file.material, ids)}give one of ${listWords(ids)}, or define it under "materials"`);
  }
  if (material === undefined) {
    return null;
  }
  return {
    fromSlot: file.fromSlot,
    toSlot: file.toSlot,
    material,
    plates: {
      count,
      depth: fromMm(file.plates.depthMm),
      thickness: fromMm(file.plates.thicknessMm),
      gap: fromMm(gapMm ?? 0),
    },
    emissivity: file.emissivity,
    openFaces: file.openFaces,
  };
}

function readJoints(file: PoleFile['joints'], path: string, { slotCount, log }: PoleContext): Joint[] {
  return file.map(({ aboveSlot, microOhm }, index) => {
    const where = `${path}.joints[${index}].aboveSlot`;
    const first = file.findIndex((other) => other.aboveSlot === aboveSlot);
    if (slotCount !== null && aboveSlot >= slotCount) {
      log.add(where, String(aboveSlot), slotCount === 1 ? 'a bar of one slot has no joint: leave "joints" out'
        : `give 1 to ${slotCount - 1}: a joint lies between two slots of the rack, which has ${slotCount}`);
    } else if (first < index) {
      log.add(where, `${aboveSlot}, as in joints[${first}]`,
        'give one joint for each place, with the sum of the resistances');
    }
    return { aboveSlot, resistance: fromMicroOhm(microOhm) };
  }).sort((a, b) => a.aboveSlot - b.aboveSlot);
}

/** One pole in SI, sections and joints from bottom to top; problems go to the log. */
export function readPole(file: PoleFile, path: string, context: PoleContext): Pole {
  if (context.slotCount !== null) {
    logSectionSpans(file.sections, path, context.slotCount, context.log);
  }
  const sections = file.sections
    .map((section, index) => readSection(section, `${path}.sections[${index}]`, context))
    .filter((section): section is Section => section !== null)
    .sort((a, b) => a.fromSlot - b.fromSlot);
  return { sections, joints: readJoints(file.joints, path, context) };
}
