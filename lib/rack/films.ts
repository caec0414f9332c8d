import type { Film, Films } from './model.js';
import type { FaceFilmFile, FilmFile } from './schema/filmSchema.js';

function film(file: FaceFilmFile): Film {
  switch (file.model) {
    case 'moving-air':
      return { model: file.model, speed: file.speedMPerS };
    case 'fixed':
      return { model: file.model, coefficient: file.coefficientWPerM2K };
    default:
      return { model: file.model };
  }
}

/** Facing plates cool as a channel unless the file says otherwise; without facing plates the entry is not used. */
export function readFilms(file: FilmFile): Films {
  if ('model' in file) {
    return { outerFaces: film(file), edges: film(file), facingFaces: { model: 'channel' }, factor: file.factor };
  }
  return {
    outerFaces: film(file.outerFaces),
    edges: film(file.edges),
    facingFaces: file.facingFaces === undefined ? { model: 'channel' } : film(file.facingFaces),
    factor: file.factor,
  };
}
