/**
 * Every rack, mild or absurd, ends in a rated power that holds on both sides, or in a named reason. `RACKS=1000000` racks in
 * a long run, ten placements on each bar; results do not depend on the number.
 */
import { describe, expect, it } from 'vitest';
import { NoFeedError, RackModel, RatingError } from '../../lib/ladder/index.js';
import { absurdRack, bothSides } from './absurdRack.js';

const PLACEMENTS = 10;
const RACKS = Number(process.env.RACKS ?? 4000) / PLACEMENTS;
const FROM = Number(process.env.RACKS_FROM ?? 0) / PLACEMENTS;
/** Every so many racks both sides of the rated power are looked at too. */
const LOOK_EVERY = 7;

describe('racks from mild to absurd', () => {
  it(`end in a rated power that holds on both sides, or in a named reason (${RACKS * PLACEMENTS} racks)`, () => {
    const counts = new Map<string, number>();
    const count = (what: string) => counts.set(what, (counts.get(what) ?? 0) + 1);
    const wrong: string[] = [];
    for (let index = FROM; index < FROM + RACKS; index++) {
      const { rack, scenarios } = absurdRack(index, PLACEMENTS);
      const model = new RackModel(rack);
      scenarios.forEach((scenario, k) => {
        const name = `${index}.${k}`;
        try {
          const rated = model.rate(scenario);
          count(rated.power === 0 ? `nothing carried: ${rated.limit}` : rated.limit);
          if (!(rated.power >= 0 && Number.isFinite(rated.power))) wrong.push(`${name}: ${rated.power} W`);
          if ((index * PLACEMENTS + k) % LOOK_EVERY !== 0) return;
          const found = bothSides(model, scenario, rated.power);
          if (found !== null) wrong.push(`${name}: ${rated.power} W by ${rated.limit}: ${found}`);
        } catch (error) {
          if (error instanceof NoFeedError) count('no feed');
          else if (error instanceof RatingError) count(error.message);
          else throw new Error(`rack ${name}`, { cause: error });
        }
      });
    }
    console.log([...counts].sort((a, b) => b[1] - a[1]).map(([what, n]) => `${n} ${what}`).join('; '));
    expect(wrong).toEqual([]);
    // A search that does not close is a defect of the solver: rare, and never an answer.
    const defects = [...counts].filter(([what]) => /did not/.test(what)).reduce((sum, [, n]) => sum + n, 0);
    expect(defects / (RACKS * PLACEMENTS)).toBeLessThan(1e-3);
  }, 3_600_000);
});
