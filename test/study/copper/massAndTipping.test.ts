import { describe, expect, it } from 'vitest';
import { type BalanceData, loadStudy } from '../../../lib/rack/index.js';
import {
  barMass, barPrice, centreOfMass, copperDesigns, leastAngle, RackBalance, ScenarioSet, tippingAngle,
} from '../../../lib/study/index.js';
import { longBarStudy } from './longBar.js';

const { study: deep } = loadStudy('data-demo/deep-bar-anywhere.json');

describe('mass of the bar', () => {
  it('is plates · depth · thickness · length · density, by hand', () => {
    // 2 poles · 2 plates · 0.156 m · 0.006 m · (44 · 0.04445 m) · 8890 kg/m³ (IEC 60028) = 65.0969 kg.
    expect(barMass(deep.rack).mass).toBeCloseTo(2 * 2 * 0.156 * 0.006 * (44 * 0.04445) * 8890, 10);
    expect(barMass(deep.rack).mass).toBeCloseTo(65.0969, 3);
    // One plate per pole of 100 × 10 mm, 10 m, 9000 kg/m³: 2 · 0.001 · 10 · 9000 = 180 kg, middle at 5 m.
    expect(barMass(longBarStudy().rack)).toMatchObject({ mass: expect.closeTo(180, 9), centreHeight: expect.closeTo(5, 9) });
  });

  it('of a stepped bar has its centre where the sections have theirs', () => {
    // Each pole, thickness doubled below: slots 1-50 (2.5 m) 20 mm, the rest (7.5 m) 10 mm: 45 + 67.5 = 112.5 kg a pole;
    // centre (45 · 1.25 + 67.5 · 6.25) / 112.5 = 4.25 m.
    const { designs } = copperDesigns(longBarStudy(), [{
      name: 'stepped',
      change: { sections: [{ fromSlot: 1, toSlot: 50, thickness: 0.02 }, { fromSlot: 51, toSlot: 200 }] },
    }]);
    const { mass, centreHeight, byMaterial } = barMass(designs[0].rack);
    expect(mass).toBeCloseTo(225, 9);
    expect(centreHeight).toBeCloseTo(4.25, 9);
    expect([...byMaterial]).toEqual([['flat', expect.closeTo(225, 9)]]);
  });

  it('costs its kilograms, and nothing is said where a material has no price', () => {
    const bar = barMass(longBarStudy().rack);
    expect(barPrice(bar, new Map([['flat', 9]]))).toBeCloseTo(1620, 9);
    expect(barPrice(bar, new Map([['copper-56', 9]]))).toBeNull();
  });
});

/** Feet 50 mm inside a base of 1.0 m by 0.6 m. */
const DATA: BalanceData = {
  rack: { mass: 100, centreHeight: 1, fromFront: 0.5, fromLeft: 0.3 },
  base: { depth: 1, width: 0.6 },
  feet: { front: 0.05, rear: 0.95, left: 0.05, right: 0.55 },
  firstSlotHeight: 0.1,
  bar: { fromFront: 0.9, fromLeft: 0.3 },
  units: { fromFront: 0.4, fromLeft: 0.3 },
  unitsElsewhere: new Map([['feed', { fromFront: 0.5, fromLeft: 0.2 }]]),
};

describe('tipping', () => {
  it('of a box on feet at its corners is atan(half base / height of the centre): 45° where both are 0.5 m', () => {
    const feet = { front: 0, rear: 1, left: 0, right: 1 };
    expect(tippingAngle({ mass: 1, height: 0.5, fromFront: 0.5, fromLeft: 0.5 }, feet).angle).toBeCloseTo(Math.PI / 4, 12);
    // (half base − offset towards the front) / height = (0.5 − 0.2) / 0.9.
    expect(tippingAngle({ mass: 1, height: 0.9, fromFront: 0.3, fromLeft: 0.5 }, feet))
      .toEqual({ angle: expect.closeTo(Math.atan((0.5 - 0.2) / 0.9), 12), side: 'front' });
  });

  it('goes over the nearest line of feet, whichever it is', () => {
    const feet = { front: 0.1, rear: 0.9, left: 0.05, right: 0.55 };
    for (const [fromFront, fromLeft, side, distance] of [
      [0.3, 0.3, 'front', 0.2], [0.8, 0.3, 'rear', 0.1], [0.5, 0.2, 'left', 0.15], [0.5, 0.45, 'right', 0.1],
    ] as const) {
      expect(tippingAngle({ mass: 1, height: 1.2, fromFront, fromLeft }, feet))
        .toEqual({ side, angle: expect.closeTo(Math.atan(distance / 1.2), 12) });
    }
    // Beside the feet it does not stand at all.
    expect(tippingAngle({ mass: 1, height: 1, fromFront: 0.95, fromLeft: 0.3 }, feet).angle).toBeCloseTo(-Math.atan(0.05), 12);
  });

  it('of rack, bar and units together, by hand', () => {
    // The long bar: 180 kg at 0.1 + 5 m. Feed: slot 1, mid 0.025 m, 50 kg. Load: slots 199-200, mid 9.95 m, 20 kg.
    const study = longBarStudy();
    const units = new ScenarioSet(study, 1).at(0)?.units ?? [];
    const centre = new RackBalance(study.rack, study.catalogue, DATA).centre(units);
    expect(centre.mass).toBeCloseTo(350, 9);
    expect(centre.height).toBeCloseTo((100 * 1 + 180 * 5.1 + 50 * 0.125 + 20 * 10.05) / 350, 9);
    expect(centre.fromFront).toBeCloseTo((100 * 0.5 + 180 * 0.9 + 50 * 0.5 + 20 * 0.4) / 350, 9);
    expect(centre.fromLeft).toBeCloseTo((100 * 0.3 + 180 * 0.3 + 50 * 0.2 + 20 * 0.3) / 350, 9);
    // To the feet: front 0.65, rear 0.25, left 0.2357, right 0.2643.
    expect(tippingAngle(centre, DATA.feet)).toEqual({
      side: 'left', angle: expect.closeTo(Math.atan((centre.fromLeft - 0.05) / centre.height), 12),
    });
  });

  it('over the scenarios is the smallest of all, with its placement', () => {
    const set = new ScenarioSet(deep, 60);
    const balance = new RackBalance(deep.rack, deep.catalogue, DATA);
    const angles = Array.from({ length: 60 }, (_, i) => tippingAngle(balance.centre(set.at(i)?.units ?? []), DATA.feet).angle);
    const found = leastAngle(deep.rack, set, DATA);
    expect(found?.angle).toBe(Math.min(...angles));
    expect(found?.index).toBe(angles.indexOf(Math.min(...angles)));
    expect(new Set(angles).size).toBeGreaterThan(50);
  });

  it('is refused without mass or height', () => {
    expect(() => centreOfMass([])).toThrow(/mass 0 kg/);
    expect(() => tippingAngle({ mass: 1, height: 0, fromFront: 0, fromLeft: 0 }, DATA.feet)).toThrow(/height 0 m/);
  });
});
