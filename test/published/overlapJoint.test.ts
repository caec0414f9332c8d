import { describe, expect, it } from 'vitest';
import { overlapJointResistance } from '../../lib/ladder/index.js';
import { publishedCheck } from './publishedCheck.js';

const copper = { resistancePerMetre: 1.724138e-8 / (0.1 * 0.01), length: 0.1, width: 0.1 };

describe('overlap joint of 100×10 mm copper, 100 mm overlap, 20 °C', () => {
  it('1e-9 Ω·m² gives 1.15734 µΩ', () => {
    publishedCheck({
      section: 'B', quantity: 'overlap joint, 1e-9 Ω·m²', source: 'closed form of two rails with a contact layer',
      unit: 'µΩ', published: 1.15734, ours: overlapJointResistance({ ...copper, contactResistivity: 1e-9 }) * 1e6,
      tolerance: { absolute: 5e-6 }, why: 'printed to six digits',
    });
  });

  it('agrees with 4000 slices of the two rails solved one by one', () => {
    const contactResistivity = 1e-8;
    const n = 4000;
    const step = copper.length / n;
    const r = copper.resistancePerMetre * step;
    const g = (copper.width * step) / contactResistivity;
    // March with the current i of the first rail and the voltage u between the rails: the second rail carries 1 − i.
    const march = (start: number) => {
      let [i, u, drop] = [1, start, 0];
      for (let k = 0; k < n; k++) {
        u -= (r / 2) * (i - (1 - i));
        drop += (r / 2) * i;
        i -= g * u;
        u -= (r / 2) * (i - (1 - i));
        drop += (r / 2) * i;
      }
      return { i, end: u, drop };
    };
    const [a, b] = [march(0), march(1e-6)];
    const start = (-a.i / (b.i - a.i)) * 1e-6;
    const { drop, end } = march(start);
    expect((drop + end) / overlapJointResistance({ ...copper, contactResistivity })).toBeCloseTo(1, 5);
  });

  it('tends to half a conductor for a perfect contact and to the contact alone for a poor one', () => {
    const half = (copper.resistancePerMetre * copper.length) / 2;
    expect(overlapJointResistance({ ...copper, contactResistivity: 1e-18 }) / half).toBeCloseTo(1, 3);
    expect(overlapJointResistance({ ...copper, contactResistivity: 1e-3 }) / (1e-3 / 0.01)).toBeCloseTo(1, 4);
  });

  it('refuses what is not above 0', () => {
    expect(() => overlapJointResistance({ ...copper, contactResistivity: 0 })).toThrow(/contactResistivity 0/);
  });
});
