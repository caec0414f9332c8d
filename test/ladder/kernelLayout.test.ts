/** Where the kernel's arrays stand, and how their addresses come into its code. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { RackModel } from '../../lib/ladder/index.js';
import { Kernel } from '../../lib/ladder/kernel/kernel.js';
import { ARRAYS, type ArrayName, layOut, OUTCOME } from '../../lib/ladder/kernel/layout.js';
import { placeArrays } from '../../lib/ladder/kernel/placeArrays.js';
import { load, sampleRack, scenarioOf, shelf } from './sampleRack.js';

const NAMES = Object.keys(ARRAYS) as ArrayName[];

describe('the layout of the kernel’s memory', () => {
  it('gives every array room of its own, whole registers apart, for any number of slots', () => {
    fc.assert(fc.property(fc.integer({ min: 1, max: 300 }), (slots) => {
      const { addresses, end } = layOut(slots);
      const spans = NAMES.map((name) => {
        const { holds, count } = ARRAYS[name];
        return { from: addresses[name], to: addresses[name] + (holds === 'number' ? 8 : 4) * count(slots) };
      }).sort((a, b) => a.from - b.from);
      spans.forEach(({ from, to }, k) => {
        expect(from % 16).toBe(0);
        expect(to).toBeGreaterThan(from);
        expect(to).toBeLessThanOrEqual(spans[k + 1]?.from ?? end);
      });
      // Nothing stands where the compiler keeps what is its own.
      expect(spans[0].from).toBeGreaterThanOrEqual(1024);
    }), { numRuns: 40 });
  });

  it('is that of the views, which hold what the kernel writes', () => {
    const kernel = new Kernel(7, 1);
    expect(kernel.numbers('temperature').length).toBe(14);
    expect(kernel.wholes('loadAt').length).toBe(7);
    expect(kernel.outcome.length).toBe(Object.keys(OUTCOME).length);
    const { address, cells } = kernel.table(0);
    expect(address).toBe(layOut(7).end);
    expect(cells.length).toBeGreaterThan(1e6);
  });
});

describe('addresses in compiled code', () => {
  it('take four bytes wherever they stand, with what is added to them', () => {
    const code = Uint8Array.from({ length: 16 }, (_, k) => k);
    const placed = placeArrays(code, Int32Array.of(2, 1, 0, 9, 0, -16), [4096, 2 ** 27 - 1]);
    expect([...placed]).toEqual([0, 1, 255, 255, 255, 63, 6, 7, 8, 0xf0, 0x9f, 0x80, 0, 13, 14, 15]);
    // The code itself stays as it was.
    expect(code[2]).toBe(2);
  });

  it('beyond that are refused', () => {
    for (const address of [2 ** 27, -1, Number.NaN]) {
      expect(() => placeArrays(new Uint8Array(8), Int32Array.of(0, 0, 0), [address])).toThrow(RangeError);
    }
  });
});

it('racks of different heights are rated side by side as each is alone', () => {
  const racks = [3, 16, 44, 128].map((slotCount) => sampleRack({ slotCount }));
  const scenario = scenarioOf([shelf(1), load(2, { power: 2 }), load(3)]);
  const alone = racks.map((rack) => new RackModel(rack).rate(scenario).power);
  const models = racks.map((rack) => new RackModel(rack));
  for (let round = 0; round < 3; round++) expect(models.map((model) => model.rate(scenario).power)).toEqual(alone);
});
