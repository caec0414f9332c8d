/**
 * Heat a conductor gives to air and surroundings, per metre of run: the faces of one section compiled for the solver.
 */
import type { Film, Films, Plates } from '../rack/model.js';
import { pressureAtAltitude } from './airProperties.js';
import { compileFilm, type Facing, type FilmLaw } from './filmLaw.js';

/** How the conductor runs: a vertical run has only vertical faces; a horizontal one stands on edge. */
export type Run = 'vertical' | 'horizontal';

export interface SurfaceGeometry {
  readonly plates: Plates;
  readonly openFaces: 0 | 1 | 2;
  readonly run: Run;
  /** m; the height of a vertical run. */
  readonly runLength: number;
}

/** Compiled faces of one cross-section: outer faces, edges, and the facing faces between plates. */
export class Surface {
  /** Outer envelope, m² per metre of run: what radiates. Facing faces see each other at one temperature. */
  readonly envelope: number;
  private readonly faces: readonly { readonly area: number; readonly law: FilmLaw }[];

  constructor(geometry: SurfaceGeometry, films: Films, altitude: number) {
    const pressure = pressureAtAltitude(altitude);
    const { plates, openFaces, run } = geometry;
    const gaps = plates.count - 1;
    const height = run === 'vertical' ? geometry.runLength : plates.depth;
    const edge = plates.count * plates.thickness;
    const girth = 2 * (plates.depth + edge + gaps * plates.gap);
    // Faces under the same law are one face to the solver.
    const areas = new Map<string, { film: Film; facing: Facing; area: number }>();
    const add = (area: number, film: Film, facing: Facing) => {
      const key = `${facing} ${JSON.stringify(film)}`;
      areas.set(key, { film, facing, area: area + (areas.get(key)?.area ?? 0) });
    };
    add(openFaces * plates.depth, films.outerFaces, 'side');
    if (run === 'vertical') {
      add(2 * edge, films.edges, 'side');
    } else {
      add(edge, films.edges, 'up');
      add(edge, films.edges, 'down');
    }
    if (gaps > 0) add(2 * gaps * plates.depth, films.facingFaces, 'side');
    this.faces = [...areas.values()]
      .filter(({ area }) => area > 0)
      .map(({ film, facing, area }) => ({
        area: area * films.factor,
        law: compileFilm(film, { facing, vertical: run === 'vertical', height, plates, girth, pressure }),
      }));
    this.envelope = openFaces * plates.depth + 2 * (edge + gaps * plates.gap);
  }

  /**
   * Adds convective heat, W/m, and its derivative to the temperature, W/(m·K), for `count` slots from index `slot`,
   * before any scenario film factor. Entry of slot s is s·stride + offset in all arrays but `air`, which is `[slot]`.
   */
  addConvection(
    temperature: Float64Array, air: Float64Array, slot: number, count: number, stride: number, offset: number,
    heat: Float64Array, slope: Float64Array,
  ): void {
    for (let f = 0; f < this.faces.length; f++) {
      const { law, area } = this.faces[f];
      law.addHeat(area, temperature, air, slot, count, stride, offset, heat, slope);
    }
  }
}
