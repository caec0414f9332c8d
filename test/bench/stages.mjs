/**
 * What each stage of a rated power takes in the library, in the same way as in reference.c: one stage runs a few times
 * more than it must, on the data of the moment, and the pass takes longer by that.
 */

/** Stages in the order of their numbers in reference.c. */
export const STAGES = ['mounting', 'start', 'currents', 'films', 'newton', 'contacts', 'hotSpots'];

/** How many times more than it must a stage runs in a timed pass. */
export const EXTRA = 3;

/** What the stages do, for people. */
export const STAGE_WORDS = {
  mounting: 'Mounting',
  start: 'Start with frozen films',
  currents: 'Currents',
  films: 'Films (convection table, radiation)',
  newton: 'Newton step of temperatures',
  contacts: 'Contacts (spreading)',
  hotSpots: 'Hot spots and limits',
  rest: 'Rest (air, loop resistances, moving, stopping)',
};

/**
 * Stage times from passes with each stage repeated.
 *
 * @param plain µs per scenario of a pass in which nothing is repeated
 * @param longer `[stage]`, the same with that stage repeated `EXTRA` times more
 * @param filmsInNewton whether a repeated Newton step repeats the films as well (C does); they are then taken off
 */
export function stageTimes(plain, longer, filmsInNewton) {
  const times = Object.fromEntries(STAGES.map((stage, i) => [stage, Math.max(0, (longer[i] - plain) / EXTRA)]));
  if (filmsInNewton) times.newton = Math.max(0, times.newton - times.films);
  times.rest = Math.max(0, plain - STAGES.reduce((sum, stage) => sum + times[stage], 0));
  return times;
}
