/**
 * A rack at known temperatures as a netlist: both poles as separate chains of resistors, contacts as resistors, sources
 * behind their droop, loads of constant power as behavioural current sources. Where current spreads from contacts over the
 * depth, every contact is a source of voltage controlled by the currents of all the others. Resistances come from the
 * rack's material data and the temperatures alone.
 */
import type { PlacedUnit, Scenario } from '../../lib/draw/scenario.js';
import type { OperatingState } from '../../lib/ladder/index.js';
import { spreadingByHand } from '../ladder/spreadingByHand.js';
import { type Pole, type Rack, ZERO_CELSIUS } from '../../lib/rack/model.js';

export interface HotRack {
  readonly rack: Rack;
  readonly scenario: Scenario;
  readonly state: OperatingState;
  /** W, total load. */
  readonly power: number;
  /** K, `[slot]`. */
  readonly supplyTemperature: ArrayLike<number>;
  readonly returnTemperature: ArrayLike<number>;
}

export interface RackNetlist {
  readonly lines: readonly string[];
  /** Expressions whose values answer: volts between the poles, `[slot]`. */
  readonly voltages: readonly string[];
  /** A, `[source in service]`, in the order of the scenario. */
  readonly sourceCurrents: readonly string[];
  /** A upwards on the supply pole, `[slot − 1]`. */
  readonly segmentCurrents: readonly string[];
  /** A down the return pole, `[slot − 1]`. */
  readonly returnCurrents: readonly string[];
  /** A through ground contacts, `[unit with one]`, loads first: from a load into the frame, from the frame into a source. */
  readonly groundCurrents: readonly string[];
  /** A through bonds into the frame. */
  readonly bondCurrents: readonly string[];
}

/** Below this a load is an ordinary resistor, so that the simulator's first guess of 0 V divides by nothing. */
const GUARD = 1;

export function rackNetlist(hot: HotRack): RackNetlist {
  const { rack, scenario, state, power } = hot;
  const lines = ['* both poles of a rack busbar'];
  const supply = addPole(lines, 's', rack, rack.supply, hot.supplyTemperature, scenario.build.areaFactor);
  const back = addPole(lines, 'r', rack, rack.return, hot.returnTemperature, scenario.build.areaFactor);
  lines.push('Vground r1 0 0');

  const loads = scenario.units.filter(({ kind }) => kind === 'load');
  const total = loads.reduce((sum, load) => sum + load.power, 0);
  const standing = scenario.units.filter(({ kind }) => kind !== 'load');
  const everyone = [...loads, ...standing.filter((_, k) => state.active[k] === 1)];
  const idle = standing.filter((unit, k) => state.active[k] !== 1 && unit.groundContact !== undefined && rack.frame !== undefined);
  const atEdge = [...everyone, ...idle].filter(({ contactEdgeHeight }) => contactEdgeHeight > 0).map(({ contactSlot }) => contactSlot);
  const contacts = (unit: PlacedUnit, name: string) => {
    const slot = unit.contactSlot;
    if (unit.contactEdgeHeight > 0) addPatches(lines, hot, slot, atEdge);
    const [plus, minus] = unit.contactEdgeHeight > 0 ? [`s${slot}e`, `r${slot}e`] : [`s${slot}`, `r${slot}`];
    return [
      contact(lines, `${name}a`, plus, unit.contactResistance[0] * scenario.build.contactFactor),
      contact(lines, `${name}b`, minus, unit.contactResistance[1] * scenario.build.contactFactor),
    ];
  };
  const loadTerminals = loads.map((load, k) => contacts(load, `l${k}`));
  loads.forEach((load, k) => {
    const [plus, minus] = loadTerminals[k];
    const drawn = (power * load.power) / total;
    const between = `V(${plus},${minus})`;
    const below = `${drawn / GUARD ** 2}*${between}`;
    lines.push(`Bl${k} ${plus} ${minus} I = ${between} > ${GUARD} ? ${drawn}/${between} : ${below}`);
    lines.push(`.nodeset v(${plus})=${rack.setVoltage} v(${minus})=0`);
  });

  const sources = everyone.slice(loads.length);
  const terminals = sources.map((source, k) => contacts(source, `g${k}`));
  const between = terminals.map(([plus, minus]) => `V(${plus},${minus})`);
  sources.forEach((source, k) => {
    const [plus, minus] = terminals[k];
    if (rack.sharing.model === 'droop') {
      lines.push(`Vg${k} g${k}e ${minus} ${rack.setVoltage}`, `Rg${k} g${k}e ${plus} ${source.droopResistance}`);
    } else if (k === 0) {
      // The first source holds the mean terminal voltage, the others follow its current in the shares' proportion.
      const others = between.slice(1).map((volts) => ` - ${volts}`).join('');
      lines.push(`Bg0 g0e ${minus} V = ${sources.length * rack.setVoltage}${others}`, `Vg0 g0e ${plus} 0`);
    } else {
      lines.push(`Fg${k} ${minus} ${plus} Vg0 ${source.sharingWeight / sources[0].sharingWeight}`);
    }
  });
  const idleTerminals = idle.map((unit, k) => contacts(unit, `i${k}`));
  const grounded = [...loads.map((unit, k) => ({ unit, name: `l${k}` })), ...sources.map((unit, k) => ({ unit, name: `g${k}` })),
    ...idle.map((unit, k) => ({ unit, name: `i${k}` }))];
  const minusOf = new Map<string, string>([
    ...loadTerminals.map(([, minus], k) => [`l${k}`, minus] as const), ...terminals.map(([, minus], k) => [`g${k}`, minus] as const),
    ...idleTerminals.map(([, minus], k) => [`i${k}`, minus] as const),
  ]);
  const frame = addFrame(lines, rack, scenario.build.contactFactor, grounded.map(({ unit, name }) => ({ unit, minus: minusOf.get(name) ?? '' })));
  return {
    lines,
    ...frame,
    returnCurrents: back.map((ohm, i) => `(v(r${i + 2})-v(r${i + 1}))/${ohm}`),
    voltages: Array.from({ length: rack.slotCount }, (_, i) => `v(s${i + 1})-v(r${i + 1})`),
    sourceCurrents: sources.map(({ sharingWeight }, k) => (rack.sharing.model === 'droop'
      ? `-i(Vg${k})`
      : `i(Vg0)*${sharingWeight / sources[0].sharingWeight}`)),
    segmentCurrents: supply.map((ohm, i) => `(v(s${i + 1})-v(s${i + 2}))/${ohm}`),
  };
}

/** The frame as a third chain, bonded to the return pole, and touched by the return terminals of units. */
function addFrame(
  lines: string[], rack: Rack, contactFactor: number, grounded: readonly { readonly unit: PlacedUnit; readonly minus: string }[],
): { groundCurrents: string[]; bondCurrents: string[] } {
  const { frame } = rack;
  if (frame === undefined) return { groundCurrents: [], bondCurrents: [] };
  for (let slot = 1; slot < rack.slotCount; slot++) {
    lines.push(`Rf${slot} f${slot} f${slot + 1} ${frame.resistancePerMetre * rack.pitch}`);
  }
  const groundCurrents = grounded.flatMap(({ unit, minus }, k) => {
    if (unit.groundContact === undefined) return [];
    const ohm = unit.groundContact.resistance * contactFactor;
    lines.push(`Rfg${k} ${minus} f${unit.contactSlot} ${ohm}`);
    const sign = unit.kind === 'load' ? '' : '-';
    return [`${sign}(v(${minus})-v(f${unit.contactSlot}))/${ohm}`];
  });
  const bondCurrents = frame.bonds.map(({ slot, resistance }, k) => {
    lines.push(`Rfb${k} r${slot} f${slot} ${resistance}`);
    return `(v(r${slot})-v(f${slot}))/${resistance}`;
  });
  return { groundCurrents, bondCurrents };
}

/** A chain of resistors from mid-slot to mid-slot, Ω: joints, and ρ20·(1 + α·(T − 20 °C))·length/area of each half. */
function addPole(
  lines: string[], name: string, rack: Rack, pole: Pole, temperature: ArrayLike<number>, areaFactor: number,
): number[] {
  const resistances: number[] = [];
  for (let slot = 1; slot < rack.slotCount; slot++) {
    const celsius = (temperature[slot - 1] + temperature[slot]) / 2 - ZERO_CELSIUS;
    let ohm = 0;
    for (const half of [slot, slot + 1]) {
      const section = pole.sections.find(({ fromSlot, toSlot }) => fromSlot <= half && half <= toSlot);
      if (!section) throw new Error(`slot ${half} has no section`);
      const { material, plates } = section;
      const resistivity = material.resistivity20 * (1 + material.temperatureCoefficient * (celsius - 20));
      ohm += (resistivity * rack.pitch) / 2 / (plates.count * plates.depth * plates.thickness * areaFactor);
    }
    for (const joint of pole.joints) if (joint.aboveSlot === slot) ohm += joint.resistance;
    lines.push(`R${name}${slot} ${name}${slot} ${name}${slot + 1} ${ohm}`);
    resistances.push(ohm);
  }
  for (let slot = 1; slot <= rack.slotCount; slot++) {
    lines.push(`.nodeset v(${name}${slot})=${name === 's' ? rack.setVoltage : 0}`);
  }
  return resistances;
}

/**
 * The patches of one slot on both poles, each behind a chain of voltages in proportion to the currents through all
 * patches: ohms from {@link spreadingByHand} for 1 A in one slot at a time. Vp<slot> measures the current out of the
 * supply pole's patch; the return pole's carries the same back.
 */
function addPatches(lines: string[], hot: HotRack, slot: number, atEdge: readonly number[]): void {
  (['s', 'r'] as const).forEach((name, p) => {
    const bar = `${name}${slot}`;
    lines.push(`V${name}p${slot} ${bar}e ${bar}m0 0`);
    const felt = atEdge.map((from) => ({ from, ohm: mutualOhm(hot, p as 0 | 1, slot, from) })).filter(({ ohm }) => ohm !== 0);
    felt.forEach(({ from, ohm }, i) => {
      const to = i === felt.length - 1 ? bar : `${bar}m${i + 1}`;
      lines.push(`H${name}${slot}x${from} ${bar}m${i} ${to} V${name}p${from} ${ohm}`);
    });
  });
}

/** V at the patch of one slot for 1 A into the pole at another. */
function mutualOhm(hot: HotRack, p: 0 | 1, slot: number, from: number): number {
  const { rack, scenario } = hot;
  const units = scenario.units.map((unit) => ({ unit: { ...unit, kind: 'power-shelf' as const }, current: unit.contactSlot === from ? 1 : 0 }));
  return spreadingByHand(rack, scenario, { ...hot, units, air: [] }, p).voltage[slot - 1];
}

/** The terminal behind a contact; without resistance it is the bar itself. */
function contact(lines: string[], terminal: string, bar: string, ohm: number): string {
  if (ohm === 0) return bar;
  lines.push(`R${terminal} ${terminal} ${bar} ${ohm}`);
  return terminal;
}
