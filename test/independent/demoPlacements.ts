/** Placements of the demonstration racks whose bar rise binds, to be solved by other programs. */
import { scenarioSource, type PlacedUnit, type Scenario } from '../../lib/draw/index.js';
import { loadStudy, type Contact, type Study } from '../../lib/rack/index.js';
import type { Rack } from '../../lib/rack/model.js';
import { load, scenarioOf, shelf, slots } from '../ladder/sampleRack.js';

export interface DemoPlacement {
  readonly name: string;
  readonly rack: Rack;
  readonly scenario: Scenario;
}

/** Of each rack: sources at the top and loads at the bottom, sources in the middle of the loads, and one drawn. */
export function demoPlacements(): DemoPlacement[] {
  const deep = loadStudy('data-demo/deep-bar-anywhere.json').study;
  const plain = loadStudy('data-demo/plain-bar-even.json').study;
  return [
    ...placements('deep bar', deep, { shelvesAtTop: 3, shelvesInMiddle: 5, loads: 16, drawnIndex: 2 }),
    ...placements('plain bar', plain, { shelvesAtTop: 2, shelvesInMiddle: 2, loads: 12, drawnIndex: 2 }),
  ];
}

interface Counts {
  readonly shelvesAtTop: number;
  readonly shelvesInMiddle: number;
  readonly loads: number;
  readonly drawnIndex: number;
}

function placements(name: string, study: Study, counts: Counts): DemoPlacement[] {
  const { catalogue } = study;
  const rack: Rack = { ...study.rack, operatingStates: ['all-in-service'] };
  const shelfContact = contactOf(catalogue.sources.find(({ id }) => id === 'shelf-33'));
  const loadContact = contactOf(catalogue.loads.find(({ id }) => id === 'node-1'));
  const place = (sourceSlots: number[], loadSlots: number[]) => scenarioOf([
    ...sourceSlots.map((slot) => shelf(slot, { ...shelfContact, droopResistance: 0.6e-3 })),
    ...loadSlots.map((slot) => load(slot, loadContact)),
  ]);
  const top = rack.slotCount;
  const first = Math.round(top / 2);
  const after = first + counts.shelvesInMiddle;
  const half = counts.loads / 2;
  const atTop = place(slots(top - counts.shelvesAtTop + 1, top), slots(1, counts.loads));
  const around = [...slots(first - half, first - 1), ...slots(after, after + half - 1)];
  const inMiddle = place(slots(first, after - 1), around);
  const drawn = scenarioSource(study).draw(counts.drawnIndex).scenario;
  return [
    { name: `${name}, sources at the top`, rack, scenario: atTop },
    { name: `${name}, sources in the middle`, rack, scenario: inMiddle },
    { name: `${name}, drawn`, rack, scenario: { ...drawn, units: drawn.units.map(unlimited) } },
  ];
}

function contactOf(type: { readonly contact: Contact } | undefined) {
  if (!type) throw new Error('the demonstration catalogue lost a unit');
  const { resistance, thermalResistance, heatShare, edgeHeight } = type.contact;
  return {
    contactResistance: [resistance, resistance] as const,
    contactThermalResistance: thermalResistance,
    contactHeatShare: heatShare,
    contactEdgeHeight: edgeHeight,
  };
}

/** Without the sources' own limits, so that the bar is what binds. */
const unlimited = (unit: PlacedUnit): PlacedUnit => ({ ...unit, maxCurrent: Infinity, maxPower: Infinity });
