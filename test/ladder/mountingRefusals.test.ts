/** Placements that cannot be laid out, and states that leave nothing in service. */
import { describe, expect, it } from 'vitest';
import { describeState, NoFeedError, operatingStates, RackModel } from '../../lib/ladder/index.js';
import type { OperatingStateRule } from '../../lib/rack/model.js';
import { battery, load, sampleRack, scenarioOf, shelf } from './sampleRack.js';

const rack = sampleRack({ slotCount: 6 });
const rate = (units: Parameters<typeof scenarioOf>[0]) => () => new RackModel(rack).rate({ ...scenarioOf(units), index: 17 });

describe('a placement', () => {
  it('may fill the rack and reach up to its last slot, and no further', () => {
    expect(rate([1, 2, 3, 4].map((s) => load(s)).concat(shelf(5, { heightSlots: 2 })))().power).toBeGreaterThan(0);
    const over = rate([shelf(1), load(5, { heightSlots: 3, equipment: 'tall' })]);
    expect(over).toThrow(RangeError);
    expect(over).toThrow('unit tall at slot 5 leaves the rack of 6 slots');
  });

  it('has no more units than slots, and one contact in a slot', () => {
    expect(rate([1, 2, 3, 4, 5, 6, 6].map((s) => load(s)))).toThrow('scenario 17: 7 units in a rack of 6 slots');
    const shared = rate([shelf(1), load(3, { contactSlot: 4 }), load(4)]);
    expect(shared).toThrow(RangeError);
    expect(shared).toThrow('two contacts in slot 4');
  });

  it('needs a load that draws power', () => {
    for (const units of [[shelf(1)], [shelf(1), load(2, { power: 0 })]]) {
      expect(rate(units)).toThrow(NoFeedError);
      expect(rate(units)).toThrow('scenario 17: no load draws any power');
    }
  });
});

describe('operating states', () => {
  const statesOf = (rule: OperatingStateRule, units: Parameters<typeof scenarioOf>[0]) => () =>
    operatingStates({ ...rack, operatingStates: [rule] }, { ...scenarioOf(units), index: 17 });

  it.each([
    ['all-in-service', [battery(1), load(2)], 'all in service'],
    ['batteries-alone', [shelf(1), load(2)], 'batteries alone'],
    ['one-source-out', [shelf(3), battery(1), load(2)], 'source at slot 3 out'],
  ] as const)('%s needs a source in service', (rule, units, words) => {
    let thrown: unknown = null;
    try {
      statesOf(rule, units)();
    } catch (error) {
      thrown = error;
    }
    expect(thrown).toBeInstanceOf(NoFeedError);
    expect(thrown).toMatchObject({ name: 'NoFeedError', message: `scenario 17: no source in service in the state ${words}` });
  });

  it('are named in words', () => {
    expect((['all-in-service', 'batteries-alone', 'one-source-out'] as const).map((rule) => describeState({ rule, outSlot: 4 })))
      .toEqual(['all in service', 'batteries alone', 'source at slot 4 out']);
  });

  it('take no battery out, and none where no rule asks for it', () => {
    const units = [shelf(1), battery(2), shelf(3), load(4)];
    expect(statesOf('one-source-out', units)().map(({ outSlot, active }) => [outSlot, ...active])).toEqual([[1, 0, 0, 1], [3, 1, 0, 0]]);
    expect(statesOf('all-in-service', units)()).toEqual([{ rule: 'all-in-service', outSlot: 0, active: [1, 0, 1] }]);
    expect(operatingStates({ ...rack, operatingStates: [] }, scenarioOf(units))).toEqual([]);
  });
});
