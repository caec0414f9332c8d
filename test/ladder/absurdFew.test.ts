/** The few of the absurd racks that the joint search leaves to the bracketed one, or that anything but units limits. */
import { describe, expect, it } from 'vitest';
import { RackModel } from '../../lib/ladder/index.js';
import { absurdRack, bothSides } from './absurdRack.js';

const BRACKETED = ['2.1', '23.0', '87.1', '101.1', '111.0', '134.1', '165.1', '179.1', '214.0', '214.1', '225.0', '239.1'];
const JOINT = ['3.0', '43.0', '71.0', '99.0', '103.0', '109.0', '188.1', '222.0', '238.1', '242.0'];
// In 30086.7 loads may only have more than the set voltage, as those beside sources do under load.
const UNLOADED = ['30086.7', '1.1', '17.0', '96.0', '178.0'];

function rated(name: string) {
  const [index, placement] = name.split('.').map(Number);
  const { rack, scenarios } = absurdRack(index, placement + 1);
  const model = new RackModel(rack);
  const scenario = scenarios[placement];
  const { power, search, limit } = model.rate(scenario);
  return { power, search, limit, wrong: bothSides(model, scenario, power) };
}

describe('absurd racks', () => {
  it.each(BRACKETED)('%s, searched in a bracket, holds on both sides', (name) => {
    expect(rated(name)).toMatchObject({ search: 'bracketed', wrong: null });
  });

  it.each(JOINT)('%s, limited by heat or voltage, holds on both sides', (name) => {
    const { power, wrong, search } = rated(name);
    expect({ wrong, search }).toEqual({ wrong: null, search: 'joint' });
    expect(power).toBeGreaterThan(0);
  });

  it.each(UNLOADED)('%s breaks a limit with next to no load', (name) => {
    expect(rated(name)).toMatchObject({ power: 0, search: 'unloaded', wrong: null });
  });
});
