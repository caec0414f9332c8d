/**
 * What each stage of a rated power takes in the library, in the same way as in reference.c: one stage runs a few times
 * more than it must, on the data of the moment, and the pass takes longer by that. Wraps methods of the built library,
 * so it runs in a process of its own (stagesProcess.mjs).
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
 * Makes stages repeatable.
 *
 * @param modules the built `Ladder`, `CoarseStart`, `ElectricalLadder`, `ThermalLadder` and `Rating`
 * @returns where the number of further runs of each stage is set, `[stage]`
 */
export function makeRepeatable({ Ladder, CoarseStart, ElectricalLadder, ThermalLadder, Rating }) {
  const extra = new Int32Array(STAGES.length);
  const [MOUNTING, START, CURRENTS, FILMS, NEWTON, CONTACTS, HOT_SPOTS] = STAGES.keys();
  // Contacts are also brought up to date once within the start, whose time they count to.
  let starting = false;
  const { mount, updateContacts } = Ladder.prototype;
  Ladder.prototype.mount = function (scenario) {
    for (let turn = 0; turn < extra[MOUNTING]; turn++) mount.call(this, scenario);
    mount.call(this, scenario);
  };
  Ladder.prototype.updateContacts = function () {
    if (!starting) for (let turn = 0; turn < extra[CONTACTS]; turn++) updateContacts.call(this);
    updateContacts.call(this);
  };
  const { solve } = CoarseStart.prototype;
  CoarseStart.prototype.solve = function (state, place) {
    starting = true;
    for (let turn = 0; turn < extra[START]; turn++) {
      solve.call(this, state, place);
      // The films are frozen anew, as for a scenario just mounted.
      this.mounted = -1;
    }
    const solution = solve.call(this, state, place);
    starting = false;
    return solution;
  };
  const currents = ElectricalLadder.prototype.solve;
  ElectricalLadder.prototype.solve = function (power, closure) {
    const { x, solvedPower } = this;
    const x0 = x[0];
    const x1 = x[1];
    for (let turn = 0; turn < extra[CURRENTS]; turn++) {
      currents.call(this, power, closure);
      x[0] = x0;
      x[1] = x1;
      this.solvedPower = solvedPower;
    }
    return currents.call(this, power, closure);
  };
  const { assembleLoss, linearise } = ThermalLadder.prototype;
  ThermalLadder.prototype.assembleLoss = function (around) {
    for (let turn = 0; turn < extra[FILMS]; turn++) assembleLoss.call(this, around);
    assembleLoss.call(this, around);
  };
  ThermalLadder.prototype.linearise = function (power, order) {
    for (let turn = 0; turn < extra[NEWTON]; turn++) linearise.call(this, power, order);
    return linearise.call(this, power, order);
  };
  const { linearisedStep } = Rating.prototype;
  Rating.prototype.linearisedStep = function (power) {
    for (let turn = 0; turn < extra[HOT_SPOTS]; turn++) linearisedStep.call(this, power);
    return linearisedStep.call(this, power);
  };
  return extra;
}

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
