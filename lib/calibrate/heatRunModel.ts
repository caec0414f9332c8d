/** What the model expects of every reading of a heat run. SI, kelvin; quantities as in quantities.ts. */
import { NOMINAL_BUILD, type PlacedUnit } from '../draw/index.js';
import { placedUnit } from '../draw/placedUnit.js';
import { type UnitType, unitTypes } from '../draw/unitTypes.js';
import { LIMIT_WORDS, type LadderSolution, type OperatingState, RackModel } from '../ladder/index.js';
import type { HeatRun, HeatRunReading, OperatingPoint } from '../rack/heatRunModel.js';
import { conductorMass } from '../rack/geometry.js';
import type { Air, Catalogue, Rack } from '../rack/model.js';
import { CalibrationError } from './errors.js';
import { type FitQuantity, QUANTITY_TRAITS } from './quantities.js';

export type FitValues = Readonly<Partial<Record<FitQuantity, number>>>;

/** Powers of loads with a measured current have settled when none changes by more than this part. */
const POWERS_SETTLED = 1e-12;
const MOST_TURNS = 60;

/** An operating point ready to be solved. */
interface Prepared {
  readonly point: OperatingPoint;
  readonly types: readonly UnitType[];
  readonly model: RackModel;
  readonly state: OperatingState;
  /** `[unit]`, 1 = the mean of the sources. */
  readonly sharingWeight: readonly number[];
}

/** Temperatures of all readings, or why there are none. */
export type ExpectedReadings =
  | { readonly solved: true; readonly temperature: Float64Array; readonly solutions: readonly LadderSolution[] }
  | { readonly solved: false; readonly reason: string };

export class HeatRunModel {
  /** Readings of all operating points, one after the other: the order of `expected`. */
  readonly readings: readonly (HeatRunReading & { readonly point: string })[];
  private readonly prepared: readonly Prepared[];
  /** The air of the racks that the models hold; they read the exhaust rise whenever they lay a scenario out. */
  private readonly air: { -readonly [key in keyof Air]: Air[key] };

  /** @throws InputError where the catalogue lacks a unit; CalibrationError for a heat run that no file could have given */
  constructor(
    private readonly rack: Rack,
    catalogue: Catalogue,
    run: HeatRun,
  ) {
    this.air = { ...rack.air };
    const types = unitTypes(catalogue);
    const models = new Map<string, RackModel>();
    this.prepared = run.points.map((point) => {
      const typeOf = point.units.map(({ kind, equipment }) => types[kind](equipment, 'heat run'));
      const rule = typeOf.some(({ kind }) => kind === 'power-shelf') ? 'all-in-service' : 'batteries-alone';
      const model = models.get(rule) ?? new RackModel({ ...rack, air: this.air, operatingStates: [rule] });
      models.set(rule, model);
      const sources = point.units.filter(({ kind }) => kind === 'source');
      const mean = sources.reduce((sum, { current }) => sum + (current ?? 0), 0) / sources.length;
      return {
        point,
        model,
        types: typeOf,
        // Every source of the file carried current, whatever its kind.
        state: { rule, outSlot: 0, active: sources.map(() => 1) },
        sharingWeight: point.units.map(({ current }) => (mean > 0 && current !== null ? current / mean : 1)),
      };
    });
    requireSound(run, rack.slotCount);
    this.readings = run.points.flatMap(({ name, readings }) =>
      readings.map((reading) => ({ ...reading, point: name })),
    );
  }

  /** What every sensor should read, K, `[reading]`; quantities that are not given are as the files say. */
  expected(values: FitValues): ExpectedReadings {
    const temperature: number[] = [];
    const solutions: LadderSolution[] = [];
    for (const prepared of this.prepared) {
      const solution = this.solve(prepared, values);
      if (typeof solution === 'string')
        return { solved: false, reason: `${solution} at operating point "${prepared.point.name}"` };
      solutions.push(solution);
      for (const reading of prepared.point.readings) temperature.push(at(reading, solution));
    }
    return { solved: true, temperature: Float64Array.from(temperature), solutions };
  }

  /**
   * How long the bar takes to follow, s, `[operating point]`: heat that its conductors hold per kelvin over what they lose per
   * kelvin of mean rise. What the units hold is not in it.
   */
  timeConstants(solutions: readonly LadderSolution[]): number[] {
    const { rack } = this;
    const mass = conductorMass(rack);
    const [supply, back] = [rack.supply.sections[0].material, rack.return.sections[0].material];
    const held = mass.supply * supply.specificHeat + mass.return * back.specificHeat;
    return solutions.map(({ air, supplyTemperature, returnTemperature, balance }) => {
      const rise =
        air.reduce((sum, k, i) => sum + 0.5 * (supplyTemperature[i] + returnTemperature[i]) - k, 0) / air.length;
      const loss = balance.convection + balance.radiation;
      // Bars that take heat from warm surroundings have no time constant of this kind.
      return rise > 0 && loss > 0 ? (held * rise) / loss : 0;
    });
  }

  private solve({ point, types, model, state, sharingWeight }: Prepared, values: FitValues): LadderSolution | string {
    const { filmFactor, emissivity, contactFactor, areaFactor } = values;
    this.air.exhaustRise = values.exhaustRise === undefined ? this.rack.air.exhaustRise : values.exhaustRise / 1e3;
    const build = {
      ...NOMINAL_BUILD,
      inlet: point.inlet,
      contactFactor: contactFactor ?? 1,
      filmFactor: filmFactor === undefined ? 1 : filmFactor / this.rack.films.factor,
      emissivity: emissivity ?? null,
      areaFactor: areaFactor ?? 1,
    };
    let powers = point.units.map(({ power, current }) => power ?? (current ?? 0) * this.rack.setVoltage);
    for (let turn = 0; turn < MOST_TURNS; turn++) {
      const units = point.units.map(({ kind, bottomSlot }, k): PlacedUnit => {
        const type = types[k];
        const isLoad = kind === 'load';
        const factor = (isLoad ? values.loadContact : values.sourceContact) ?? 1;
        const contact = type.contact.resistance * factor;
        return placedUnit(
          type,
          bottomSlot,
          type.heightSlots,
          isLoad ? powers[k] : 0,
          [contact, contact],
          sharingWeight[k],
        );
      });
      const total = units.reduce((sum, { power }) => sum + power, 0);
      const solution = model.solutionAt({ index: -1, units, build }, total, state);
      if (solution.status !== 'solved') return LIMIT_WORDS[solution.status];
      // A load whose current was measured draws that at whatever voltage the network leaves it.
      const next = point.units.map(({ kind, power, current }, k) =>
        kind === 'load' && power === null ? (current ?? 0) * solution.units[k].voltage : powers[k],
      );
      const change = Math.max(...next.map((power, k) => Math.abs(power - powers[k]) / total));
      powers = next;
      if (change <= POWERS_SETTLED) return solution;
    }
    return 'currents that do not settle';
  }
}

/** A heat run made in code has passed no reader. */
function requireSound({ points }: HeatRun, slotCount: number): void {
  const refuse = (found: string, allowed: string): never => {
    throw new CalibrationError(found, allowed);
  };
  if (points.length === 0) refuse('no operating point', 'give at least one');
  for (const { name, inlet, units, readings } of points) {
    if (!(inlet > 0 && Number.isFinite(inlet)))
      refuse(`an inlet of ${inlet} K at "${name}"`, 'give a temperature above 0 K');
    for (const { kind, power, current, equipment } of units) {
      const carries = kind === 'source' ? (current ?? 1) : (power ?? current);
      if (!(carries !== null && carries > 0 && Number.isFinite(carries)))
        refuse(`"${equipment}" with ${carries} W or A`, 'give a power or a current above 0');
    }
    for (const { sensor, slot, temperature, standardError, driftPerHour } of readings) {
      if (!(Number.isInteger(slot) && slot >= 1 && slot <= slotCount))
        refuse(`sensor "${sensor}" at slot ${slot}`, `give 1 to ${slotCount}`);
      if (![temperature ?? 1, driftPerHour ?? 0].every(Number.isFinite))
        refuse(`sensor "${sensor}" without a number`, 'give finite numbers, or null');
      if (!((standardError ?? 1) > 0 && Number.isFinite(standardError ?? 1)))
        refuse(`a standard error of ${standardError} K`, 'give one above 0');
    }
  }
}

function at({ place, slot, pole, depth }: HeatRunReading, solution: LadderSolution): number {
  if (place === 'air') return solution.air[slot - 1];
  if (depth === 'front-edge') return (pole === 0 ? solution.supplyHottest : solution.returnHottest)[slot - 1];
  return (pole === 0 ? solution.supplyTemperature : solution.returnTemperature)[slot - 1];
}

/** FitValues of the files for some quantities. */
export function startValues(quantities: readonly FitQuantity[], rack: Rack): number[] {
  return quantities.map((quantity) => {
    const { lowest, highest, start } = QUANTITY_TRAITS[quantity];
    return Math.min(Math.max(start(rack), lowest), highest);
  });
}
