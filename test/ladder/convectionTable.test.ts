import { describe, expect, it } from 'vitest';
import { ConvectionTable } from '../../lib/ladder/convectionTable.js';
import { Surface } from '../../lib/ladder/surface.js';
import { randomStream } from '../../lib/draw/randomStream.js';
import { RackModel } from '../../lib/ladder/index.js';
import type { Film } from '../../lib/rack/model.js';
import { filmsOf, load, sampleRack, scenarioOf, shelf, slots } from './sampleRack.js';

const films: readonly Film[] = [
  { model: 'fixed', coefficient: 5 }, { model: 'handbook' }, { model: 'still-air' }, { model: 'slender-still-air' },
  { model: 'moving-air', speed: 0.5 },
];

function surfaceOf(outer: Film, facing: Film, gap: number): Surface {
  const plates = { count: 2, depth: 0.15, thickness: 0.003, gap };
  return new Surface({ plates, openFaces: 2, run: 'vertical', runLength: 2.1 },
    { outerFaces: outer, edges: outer, facingFaces: facing, factor: 1 }, 0);
}

const cases = [
  ...films.map((film) => ({ name: film.model, surface: surfaceOf(film, { model: 'fixed', coefficient: 3 }, 0.01) })),
  ...[0.004, 0.01, 0.03].map((gap) => (
    { name: `channel of ${gap * 1000} mm`, surface: surfaceOf({ model: 'fixed', coefficient: 1e-3 }, { model: 'channel' }, gap) })),
];

describe('the table of a section’s convection', () => {
  for (const { name, surface } of cases) {
    it(`gives the heat of the film laws to 1e-8 at room temperature, 2e-8 in deep cold, and its derivative to 1e-6: ${name}`, () => {
      const table = new ConvectionTable(surface);
      const stream = randomStream('table', 0, 'check');
      let heatOff = 0;
      let coldOff = 0;
      let slopeOff = 0;
      for (let n = 0; n < 4000; n++) {
        const air = 230 + 180 * stream.double();
        const root = 1.5 + 14.4 * stream.double();
        const exact = table.byLaws(air + root * root, air);
        const found = table.convection(air + root * root, air);
        // Heat through a narrow channel falls with about the ninth power of the film temperature, and the laws' own
        // tables of air properties have jumps in their curvature every 2 K.
        const off = Math.abs(found.heat / exact.heat - 1);
        if (air < 280) coldOff = Math.max(coldOff, off);
        else heatOff = Math.max(heatOff, off);
        slopeOff = Math.max(slopeOff, Math.abs(found.slope / exact.slope - 1));
      }
      expect(heatOff).toBeLessThan(1e-8);
      expect(coldOff).toBeLessThan(2e-8);
      expect(slopeOff).toBeLessThan(1e-6);
    });
  }

  it('is smooth across the edges of its cells', () => {
    const table = new ConvectionTable(cases[5].surface);
    for (let k = 1; k < 100; k++) {
      const root = 2 + k / 32;
      const air = 300;
      const [below, above] = [-1e-9, 1e-9].map((d) => table.convection(air + (root + d) ** 2, air));
      expect(Math.abs(above.heat / below.heat - 1)).toBeLessThan(1e-8);
      expect(Math.abs(above.slope / below.slope - 1)).toBeLessThan(1e-8);
    }
  });

  it('leaves small rises, a bar colder than the air and temperatures beyond it to the film laws', () => {
    const table = new ConvectionTable(cases[2].surface);
    for (const [temperature, air] of [[301, 300], [290, 300], [700, 300], [330, 200], [470, 450]]) {
      expect(table.fillFor(temperature, air)).toBe(false);
      expect(table.convection(temperature, air)).toEqual(table.byLaws(temperature, air));
    }
    expect(table.fillFor(330, 300)).toBe(true);
  });

  it('reaches from 2.25 K to 256 K of rise and from 220 K to 440 K of air, the lower ends included', () => {
    const table = new ConvectionTable(cases[2].surface);
    const isInside = (rise: number, air: number) => table.fillFor(air + rise, air);
    expect([[2.25, 300], [255.9, 300], [9, 220], [9, 439.9]].map(([rise, air]) => isInside(rise, air))).toEqual([true, true, true, true]);
    expect([[2.24, 300], [256, 300], [9, 219.9], [9, 440]].map(([rise, air]) => isInside(rise, air))).toEqual([false, false, false, false]);
  });

  it('is that of the film laws at the nodes of its grid, and does not depend on what was asked before', () => {
    const [one, other] = [0, 1].map(() => new ConvectionTable(cases[4].surface));
    const nodes = [[1.5, 220], [2.03125, 300], [7, 301], [15.96875, 439]] as const;
    for (const [root, air] of nodes) {
      const found = one.convection(air + root ** 2, air);
      const exact = one.byLaws(air + root ** 2, air);
      expect(found.heat / exact.heat).toBeCloseTo(1, 12);
      expect(found.slope / exact.slope).toBeCloseTo(1, 12);
    }
    for (const [root, air] of [...nodes].reverse()) {
      expect(other.convection(air + root ** 2, air)).toEqual(one.convection(air + root ** 2, air));
    }
  });

  it('hands out the cells of a range of air temperatures, all of them filled', () => {
    const table = new ConvectionTable(cases[3].surface);
    const { coefficients: c, ...grid } = table.filledCells(300.5, 302.25);
    expect(grid).toEqual({ rootFrom: 1.5, rootsPerUnit: 32, rootCells: 464, airFrom: 300, airStep: 1, airCells: 3 });
    expect(c.length).toBe(3 * 464 * 16);
    for (let j = 0; j < 3; j++) {
      for (let i = 0; i < 464; i += 7) {
        const [x, y] = [0.4, 0.7];
        let heat = 0;
        for (let m = 0; m < 4; m++) for (let n = 0; n < 4; n++) heat += c[(j * 464 + i) * 16 + 4 * m + n] * y ** m * x ** n;
        const air = 300 + j + y;
        const exact = table.byLaws(air + (1.5 + (i + x) / 32) ** 2, air).heat;
        expect(Math.abs(heat / exact - 1)).toBeLessThan(1e-8);
      }
    }
    expect(table.filledCells(220, 221)).toMatchObject({ airFrom: 220, airCells: 1 });
    expect(table.filledCells(439, 440)).toMatchObject({ airFrom: 439, airCells: 1 });
    for (const [from, to] of [[219.9, 300], [300, 300], [301, 300], [300, 440.1], [Number.NaN, 300]]) {
      expect(() => table.filledCells(from, to)).toThrow(`air from ${from} K to ${to} K: must ascend within 220 K to 440 K`);
    }
  });

  it('does not hold up a rack whose bar gives its heat to the surroundings by radiation alone', () => {
    const rack = sampleRack({ films: filmsOf({ model: 'fixed', coefficient: 0 }) });
    const placed = scenarioOf([...slots(39, 44).map((slot) => shelf(slot)), ...slots(1, 16).map((slot) => load(slot))]);
    const model = new RackModel(rack);
    const rated = model.rate(placed);
    const solution = model.solutionAt(placed, rated.power, rated.state);
    if (solution.status !== 'solved') throw new Error('a rated power must have a solution');
    expect(solution.balance.convection).toBeCloseTo(0, 9);
    expect(solution.balance.radiation).toBeCloseTo(solution.balance.heatIn, 6);
    expect(solution.balance.radiation).toBeGreaterThan(10);
  });
});
