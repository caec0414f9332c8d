import { z } from 'zod';
import { number, object, tag, variants } from './parts.js';

const FACE_MODELS = ['still-air', 'slender-still-air', 'handbook', 'moving-air', 'fixed'] as const;
const FACING_MODELS = ['channel', 'still-air', 'handbook', 'moving-air', 'fixed'] as const;

const factor = number('multiplies every convective film of the rack; 1 = as published, else a calibration',
  { above: 0 }).default(1);

const MODEL_MEANINGS = {
  'still-air': 'natural convection after Churchill and Chu',
  'slender-still-air': 'the same with the gain of a slender bar after Popiel; for bars in the open',
  handbook: 'natural convection by the handbook formulas for busbars',
  channel: 'natural convection between facing plates after Bar-Cohen and Rohsenow',
} as const;

/** A film model without own numbers. */
function plain<M extends keyof typeof MODEL_MEANINGS, E extends z.ZodRawShape>(model: M, extra: E) {
  return object(`film: ${MODEL_MEANINGS[model]}`, { model: tag(model, 'film model'), ...extra });
}

function movingAir<E extends z.ZodRawShape>(extra: E) {
  return object('film: forced flow across the depth of the bar, front to back, blended with natural convection', {
    model: tag('moving-air', 'film model'),
    speedMPerS: number('air speed across the depth of the bar, m/s', { above: 0, to: 100 }),
    ...extra,
  });
}

function fixedFilm<E extends z.ZodRawShape>(extra: E) {
  return object('film: a given coefficient', {
    model: tag('fixed', 'film model'),
    coefficientWPerM2K: number('film coefficient by convection, W/(m²·K)', { from: 0 }),
    ...extra,
  });
}

function faceFilm<E extends z.ZodRawShape>(what: string, extra: E) {
  return z.discriminatedUnion('model',
    [plain('still-air', extra), plain('slender-still-air', extra), plain('handbook', extra), movingAir(extra), fixedFilm(extra)],
    { error: variants('model', FACE_MODELS, what) }).meta({ description: what });
}

const FACING = 'film of the faces that plates of one pole turn to each other; only where a section has several plates';

const facingFilm = z.discriminatedUnion('model',
  [plain('channel', {}), plain('still-air', {}), plain('handbook', {}), movingAir({}), fixedFilm({})],
  { error: variants('model', FACING_MODELS, FACING) }).meta({ description: FACING });

const freeFilm = faceFilm('film of a free face', {});

const perFace = object('one film for each kind of face', {
  outerFaces: faceFilm('film of the outer broad faces', {}),
  edges: faceFilm('film of the narrow edges', {}),
  facingFaces: facingFilm.optional(),
  factor,
});

const ONE_FILM = 'one film for outer faces and edges; facing plates then cool as a channel';

/** Convection: one film for all free faces, or one for each kind of face. */
export const filmSchema = z.union([faceFilm(ONE_FILM, { factor }), perFace], {
  error: 'give {"model": …}, or {"outerFaces": …, "edges": …} with "facingFaces" where there are several plates',
}).meta({ description: 'How the bar heats the air: one film for all free faces, or one for each kind of face.' });

export type FilmFile = z.output<typeof filmSchema>;
export type FaceFilmFile = z.output<typeof facingFilm> | z.output<typeof freeFilm>;
