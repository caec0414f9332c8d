/** What is rated: demonstration studies, and racks of other heights derived from the deep bar in memory. Invented. */
import { slotcast } from './library.mjs';

/** Slots of the derived racks. */
export const HEIGHTS = [16, 32, 64, 128];

const DEEP = 'data-demo/deep-bar-anywhere.json';
const ONE_STATE = ['all-in-service'];

/** A demonstration study whose size and stopping rule are set aside. */
export function demoStudy(file, scenarios) {
  const { study } = slotcast.loadStudy(file);
  return { ...study, scenarios, stopping: null };
}

/** The deep bar with another number of slots; sources, loads and joint in proportion. */
function derivedStudy(slots) {
  const study = demoStudy(DEEP, 1);
  const { rack } = study;
  const part = slots / rack.slotCount;
  const pole = ({ sections, joints }) => ({
    sections: sections.map((section) => ({ ...section, toSlot: slots })),
    joints: joints.map((joint) => ({ ...joint, aboveSlot: slots / 2 })),
  });
  const top = rack.air.profile[rack.slotCount - 1];
  return {
    ...study,
    rack: {
      ...rack,
      name: `Deep bar, ${slots} slots`,
      slotCount: slots,
      supply: pole(rack.supply),
      return: pole(rack.return),
      air: { ...rack.air, profile: Array.from({ length: slots }, (_, i) => (top * i) / (slots - 1)) },
      operatingStates: ONE_STATE,
    },
    sources: { ...study.sources, units: study.sources.units.map((unit) => ({ ...unit, count: Math.round(6 * part) })) },
    loads: { ...study.loads, totalPower: study.loads.totalPower * part },
    candidateRules: [],
  };
}

function studyOf(name) {
  if (name === 'deep-bar') return oneState(demoStudy(DEEP, 1));
  if (name === 'deep-bar-all-states') return demoStudy(DEEP, 1);
  if (name === 'plain-bar') return demoStudy('data-demo/plain-bar-even.json', 1);
  const slots = Number(/^slots-(\d+)$/.exec(name)?.[1]);
  if (!HEIGHTS.includes(slots)) throw new RangeError(`workload "${name}" is not known`);
  return derivedStudy(slots);
}

function oneState(study) {
  return { ...study, rack: { ...study.rack, operatingStates: ONE_STATE } };
}

/**
 * @param name `deep-bar` (one operating state), `deep-bar-all-states`, `plain-bar`, or `slots-16` … `slots-128`
 * @returns the study, its rack, where scenarios come from, and the first `count` of them
 */
export function workload(name, count) {
  const study = studyOf(name);
  const source = slotcast.scenarioSource(study);
  const scenarios = Array.from({ length: count }, (_, i) => source.draw(i).scenario);
  return { name, study, rack: study.rack, source, scenarios };
}
