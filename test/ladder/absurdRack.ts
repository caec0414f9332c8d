/** Racks from mild to absurd, drawn quickly from a seed: 1 to 200 slots, resistances over eight decades, air −40 to 70 °C. */
import { randomStream } from '../../lib/draw/randomStream.js';
import type { PlacedUnit, Scenario } from '../../lib/draw/scenario.js';
import type { RackModel } from '../../lib/ladder/index.js';
import type { Film, Limits, OperatingStateRule, Pole, Rack } from '../../lib/rack/model.js';
import { battery, COPPER, load, sampleRack, scenarioOf, shelf } from './sampleRack.js';

const RULES: readonly OperatingStateRule[] = ['all-in-service', 'one-source-out', 'batteries-alone'];

/** Rack number `index` with some placements; the same for the same index. */
export function absurdRack(index: number, placements: number): { readonly rack: Rack; readonly scenarios: readonly Scenario[] } {
  const stream = randomStream('absurd racks', index, 'check');
  const uniform = (min: number, max: number) => min + (max - min) * stream.double();
  const decades = (min: number, max: number) => min * (max / min) ** stream.double();
  const whole = (min: number, max: number) => min + stream.integerBelow(max - min + 1);
  const chance = (p: number) => stream.double() < p;
  const oneOf = <T>(values: readonly T[]): T => values[stream.integerBelow(values.length)];
  /** Two racks in five are mild: what follows then stays where racks are. */
  const isMild = chance(0.4);
  const slotCount = chance(0.1) ? whole(1, 4) : isMild ? whole(20, 60) : Math.round(decades(1, 200));

  const film = (): Film => oneOf<() => Film>([
    () => ({ model: 'still-air' }), () => ({ model: 'slender-still-air' }), () => ({ model: 'handbook' }),
    () => ({ model: 'moving-air', speed: isMild ? uniform(0.3, 4) : decades(0.01, 50) }),
    () => ({ model: 'fixed', coefficient: isMild ? uniform(2, 15) : decades(0.01, 1000) }),
  ])();
  const outer = film();
  const facing = chance(0.5) ? { model: 'channel' } as const : film();
  const plates = () => {
    const thickness = isMild ? uniform(0.004, 0.012) : decades(0.0005, 0.05);
    return {
      count: whole(1, isMild ? 3 : 8), thickness, gap: isMild ? uniform(0.004, 0.012) : decades(0.001, 0.1),
      // A plate deeper than it is thick.
      depth: Math.max(thickness, isMild ? uniform(0.05, 0.3) : decades(0.005, 1)),
    };
  };
  const emissivity = () => oneOf([0, 1, uniform(0, 1)]);
  const pole = (): Pole => {
    const split = slotCount > 1 && chance(0.5) ? whole(1, slotCount - 1) : slotCount;
    const section = (fromSlot: number, toSlot: number) => ({
      fromSlot, toSlot, material: COPPER, emissivity: emissivity(), openFaces: oneOf([0, 1, 2] as const), plates: plates(),
    });
    const sections = split === slotCount ? [section(1, slotCount)] : [section(1, split), section(split + 1, slotCount)];
    const joints = split < slotCount && chance(0.5)
      ? [{ aboveSlot: split, resistance: isMild ? uniform(0, 5e-6) : decades(1e-9, 0.1) }] : [];
    return { sections, joints };
  };
  const supply = pole();
  const resistance = () => (chance(0.05) ? 0 : isMild ? uniform(1e-5, 2e-4) : decades(1e-9, 0.1));
  const unset = (value: number): number => (chance(0.4) ? Number.POSITIVE_INFINITY : value);
  const setVoltage = isMild ? 50 : decades(1, 1000);
  const limits: Limits = {
    barRise: isMild ? uniform(10, 60) : unset(decades(1, 500)),
    barTemperature: unset(uniform(300, 700)), contactTemperature: unset(uniform(300, 700)),
    loadContactCurrent: unset(decades(0.1, 5000)),
    lowestLoadVoltage: chance(0.5) ? 0 : setVoltage * uniform(0.3, 1.01),
  };
  const profileOf = (isOdd: boolean) => Array.from({ length: slotCount }, () => (isOdd ? uniform(-5, 20) : 0));
  const rack = sampleRack({
    slotCount, supply, return: chance(0.5) ? supply : pole(), pitch: isMild ? 0.0445 : decades(0.005, 0.3), limits, setVoltage,
    films: { outerFaces: outer, edges: chance(0.5) ? outer : film(), facingFaces: facing.model === 'slender-still-air' ? outer.model === 'slender-still-air' ? { model: 'channel' } : outer : facing, factor: decades(0.1, 10) },
    sharing: { model: oneOf(['equal', 'droop'] as const) },
    operatingStates: RULES.filter((_, k) => k === 0 || chance(0.3)),
    air: {
      inlet: uniform(233, 343), profile: profileOf(chance(0.2)),
      exhaustRise: chance(0.5) ? 0 : decades(1e-6, 0.05), altitude: uniform(-450, 9000),
      surroundings: chance(0.5) ? null : uniform(200, 360),
    },
  });

  const placement = (): Scenario => {
    const units: PlacedUnit[] = [];
    const fill = uniform(0.05, 1);
    const areUnitsWarm = chance(0.2);
    for (let slot = 1; slot <= slotCount; slot++) {
      if (!chance(fill)) continue;
      const contact = {
        contactResistance: [resistance(), resistance()] as const, contactThermalResistance: decades(0.001, 50),
        contactHeatShare: uniform(0, 1), contactEdgeHeight: chance(0.3) ? 0 : decades(0.001, 0.2),
        heatConductance: areUnitsWarm ? decades(1e-4, 100) : 0, heatRise: uniform(-20, 60),
        droopResistance: decades(1e-7, 1), sharingWeight: chance(0.5) ? 1 : decades(0.1, 10),
        maxCurrent: unset(decades(1, 1e4)), maxPower: unset(decades(10, 1e6)),
      };
      // The first four make every state possible where there is room for them.
      const kind = units.length < 4 ? [0, 2, 0, 1][units.length] : stream.integerBelow(isMild ? 6 : 4);
      if (kind === 0) units.push(shelf(slot, contact));
      else if (kind === 1) units.push(battery(slot, contact));
      else units.push(load(slot, { ...contact, power: chance(0.05) ? 0 : decades(0.01, 1e4) }));
    }
    return scenarioOf(units, {
      contactFactor: isMild ? uniform(0.5, 2) : decades(0.01, 100), filmFactor: isMild ? uniform(0.7, 1.3) : decades(0.05, 20),
      areaFactor: isMild ? uniform(0.95, 1.05) : decades(0.2, 5), emissivity: chance(0.5) ? null : emissivity(),
      inlet: chance(0.5) ? null : uniform(233, 343),
    });
  };
  return { rack, scenarios: Array.from({ length: placements }, placement) };
}

/** Relative distance of the two sides. */
const SIDE = 1e-6;

/** What is wrong on either side of a rated power; null where all limits hold below it and one breaks above it. */
export function bothSides(model: RackModel, scenario: Scenario, power: number): string | null {
  const worstAt = (watts: number) => Math.max(...model.states(scenario).map((state) => {
    const solution = model.solutionAt(scenario, watts, state);
    return solution.status === 'solved' ? solution.utilisation : Number.POSITIVE_INFINITY;
  }));
  if (power === 0) return worstAt(1e-6) >= 1 ? null : 'nothing is carried, but 1 µW is';
  const below = worstAt(power * (1 - SIDE));
  // The search ends within 1e-8 of the limit: where load hardly matters, a millionth less is no less.
  if (!(below < 1 + 1e-8)) return `utilisation ${below} below`;
  const above = worstAt(power * (1 + SIDE));
  return above > 1 ? null : `utilisation ${above} above`;
}
