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
