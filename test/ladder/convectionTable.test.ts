import { describe, expect, it } from 'vitest';
import { ConvectionTable } from '../../lib/ladder/convectionTable.js';
import { Surface } from '../../lib/ladder/surface.js';
import type { Films } from '../../lib/rack/index.js';

const films: Films = {
  outerFaces: { model: 'still-air' }, edges: { model: 'still-air' }, facingFaces: { model: 'channel' }, factor: 0.7,
};
const plates = { count: 2, depth: 0.156, thickness: 0.006, gap: 0.012 };
const surface = new Surface({ plates, openFaces: 2, run: 'vertical', runLength: 1.96 }, films, 200);

/** Places over the cells of a range, none of them at an edge. */
const places = Array.from({ length: 400 }, (_, k) => ({
  air: 290.3 + ((k * 0.618) % 1) * 29.5, root: 1.51 + ((k * 0.414) % 1) * 14.4,
}));

function fromTable(table: ConvectionTable, air: number, temperature: number): number {
  const heat = new Float64Array(1);
  table.setConvection(Float64Array.of(temperature), Float64Array.of(air), 0, 1, 1, 0, heat, new Float64Array(1));
  return heat[0];
}

function fromLaws(air: number, temperature: number): number {
  const heat = new Float64Array(1);
  surface.addConvection(Float64Array.of(temperature), Float64Array.of(air), 0, 1, 1, 0, heat, new Float64Array(1));
  return heat[0];
}

describe('the filled cells of the convection table', () => {
  const cells = new ConvectionTable(surface).filledCells(290, 321);

  it('are all filled, and cover the range asked for', () => {
    expect(cells.coefficients).toHaveLength(cells.airCells * cells.rootCells * 16);
    expect(cells.airFrom).toBeLessThanOrEqual(290);
    expect(cells.airFrom + cells.airStep * cells.airCells).toBeGreaterThanOrEqual(321);
    // The heat at a cell's lower corner is above 0: bars there are warmer than the air.
    const corners = cells.coefficients.filter((_, k) => k % 16 === 0);
    expect(Math.min(...corners)).toBeGreaterThan(0);
  });

  it('give the heat of the table and, to 2e-9, of the film laws', () => {
    const table = new ConvectionTable(surface);
    for (const { air, root } of places) {
      const [x, y] = [(root - cells.rootFrom) * cells.rootsPerUnit, (air - cells.airFrom) / cells.airStep];
      const k = 16 * (Math.floor(y) * cells.rootCells + Math.floor(x));
      let heat = 0;
      for (let m = 0; m < 4; m++) {
        for (let n = 0; n < 4; n++) heat += cells.coefficients[k + 4 * m + n] * (x % 1) ** m * (y % 1) ** n;
      }
      const temperature = air + root * root;
      expect(Math.abs(heat / fromTable(table, air, temperature) - 1)).toBeLessThan(1e-12);
      expect(Math.abs(heat / fromLaws(air, temperature) - 1)).toBeLessThan(2e-9);
    }
  });

  it('are refused for a range that is empty or leaves the table', () => {
    const table = new ConvectionTable(surface);
    for (const [from, to] of [[300, 300], [310, 300], [200, 300], [300, 500], [Number.NaN, 300]]) {
      expect(() => table.filledCells(from, to)).toThrow(RangeError);
    }
  });
});
