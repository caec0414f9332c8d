/** How far a rack can lean before it tips over the line of its feet: statics of a rigid body on a level floor. */
import type { PlacedUnit } from '../../draw/index.js';
import type { BalanceData, Catalogue, Rack } from '../../rack/index.js';
import { barMass } from './barMass.js';

/** Where the whole of the rack has its weight: kg, m above the floor, m from the front and left edges of the base. */
export interface CentreOfMass {
  readonly mass: number;
  readonly height: number;
  readonly fromFront: number;
  readonly fromLeft: number;
}

export const TIPPING_SIDES = ['front', 'rear', 'left', 'right'] as const;
export type TippingSide = (typeof TIPPING_SIDES)[number];

export interface TippingAngle {
  /** Radians; 0 or less where the centre already lies outside the feet. */
  readonly angle: number;
  /** Over which line of feet. */
  readonly side: TippingSide;
}

/** Centre of some masses together. @throws RangeError where there is no mass */
export function centreOfMass(parts: readonly CentreOfMass[]): CentreOfMass {
  const mass = parts.reduce((sum, part) => sum + part.mass, 0);
  if (!(mass > 0 && Number.isFinite(mass))) throw new RangeError(`mass ${mass} kg: above 0 is needed`);
  const mean = (key: 'height' | 'fromFront' | 'fromLeft') => parts.reduce((sum, part) => sum + part.mass * part[key], 0) / mass;
  return { mass, height: mean('height'), fromFront: mean('fromFront'), fromLeft: mean('fromLeft') };
}

/**
 * The smallest of the four angles at which the centre of mass stands over a line of feet:
 * tan(angle) = (distance from the centre to the line) / (height of the centre); with feet about the middle of the base
 * that distance is half the base in that direction less the centre's offset towards it.
 * @throws RangeError where the centre is not above the floor
 */
export function tippingAngle({ height, fromFront, fromLeft }: CentreOfMass, feet: BalanceData['feet']): TippingAngle {
  if (!(height > 0)) throw new RangeError(`height ${height} m of the centre of mass: above 0 is needed`);
  const distances = {
    front: fromFront - feet.front, rear: feet.rear - fromFront, left: fromLeft - feet.left, right: feet.right - fromLeft,
  };
  const side = TIPPING_SIDES.reduce((least, one) => (distances[one] < distances[least] ? one : least));
  const angle = Math.atan(distances[side] / height);
  if (!Number.isFinite(angle)) throw new RangeError('the distances from the centre of mass to the feet are not finite');
  return { angle, side };
}

/** Rack, bar and units: what each placement weighs and where. Every unit has its mass at half its height. */
export class RackBalance {
  private readonly fixed: readonly CentreOfMass[];
  private readonly mass: ReadonlyMap<string, number>;

  constructor(private readonly rack: Rack, catalogue: Catalogue, private readonly data: BalanceData) {
    const { rack: own, bar, firstSlotHeight } = data;
    const { mass, centreHeight } = barMass(rack);
    this.fixed = [
      { mass: own.mass, height: own.centreHeight, fromFront: own.fromFront, fromLeft: own.fromLeft },
      { mass, height: firstSlotHeight + centreHeight, ...bar },
    ];
    this.mass = new Map([...catalogue.sources, ...catalogue.loads].map((type) => [type.id, type.mass]));
  }

  centre(units: readonly PlacedUnit[]): CentreOfMass {
    return centreOfMass([...this.fixed, ...units.map((unit) => this.unit(unit))]);
  }

  private unit({ equipment, bottomSlot, heightSlots }: PlacedUnit): CentreOfMass {
    const { data, rack } = this;
    return {
      mass: this.mass.get(equipment) ?? 0,
      height: data.firstSlotHeight + (bottomSlot - 1 + heightSlots / 2) * rack.pitch,
      ...(data.unitsElsewhere.get(equipment) ?? data.units),
    };
  }
}
