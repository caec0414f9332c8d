import type { Distribution, Study } from '../rack/studyModel.js';
import { BuildDraw } from './buildDraw.js';
import { checkRules } from './checkRules.js';
import { describeDraws } from './describeDraws.js';
import { distributionQuantile, type QuantileFunction } from './distributionQuantile.js';
import { PlacementNotFound } from './errors.js';
import { placedUnit } from './placedUnit.js';
import { preparePlacements } from './placements.js';
import { KeyedStream, type RandomStream } from './randomStream.js';
import type { Scenario } from './scenario.js';
import { TooManyStates } from './slotAutomaton.js';
import { SOURCE_COORDINATE, spreadDesign } from './spreadDesign.js';
import { StandingUnits } from './standingUnits.js';
import { UNIT, UNIT_FIELDS, UnitRows, unitTemplate } from './unitRows.js';

/** Source arrangements drawn for one scenario before giving up. */
const TRIES = 200_000;

/** Index of a scenario that was not drawn by one. */
const NOT_OF_A_STUDY = -1;

export interface DrawnScenario {
  readonly scenario: Scenario;
  /** Observed units of the drawn rack that found no place (draw `inventory`); 0 for every other draw. */
  readonly unitsLeftOut: number;
}

/** The streams that a scenario takes its random numbers from; each is asked for once at most. */
export type ScenarioStreams = (purpose: 'placement' | 'contacts' | 'sharing' | 'build') => RandomStream;

/** The scenarios of one study. */
export interface ScenarioSource {
  /**
   * Scenario `index`: always the same, whichever were drawn before and wherever it is drawn.
   * @param index whole number ≥ 0; not limited to the study's number of scenarios
   * @throws PlacementNotFound when 200,000 source arrangements left no room for the loads, or the allowed places beside
   *   one are too rare to be met and too many to be counted
   */
  draw(index: number): DrawnScenario;
  /**
   * As draw, into rows that are kept and filled anew.
   * @returns unitsLeftOut
   * @throws as draw
   */
  drawInto(rows: UnitRows, index: number): number;
  /**
   * A scenario from streams that the caller makes: independent uniform numbers give the study's law, as if every scenario
   * were drawn by itself. Placement, contacts, sharing and build are independent of each other given the units.
   * @param sourceContacts where the contacts of the sources take their numbers from, so that they can be varied apart
   *   from those of the loads; left out: from `contacts`, as in draw. The contacts of the loads are the same either way
   * @throws as draw
   */
  drawFrom(streams: ScenarioStreams, sourceContacts?: RandomStream): DrawnScenario;
  /** What will be drawn, one line each, for people. */
  describe(): string[];
}

/**
 * Prepares the scenarios of a study, once.
 *
 * A scenario takes its random numbers from streams keyed by (seed, index, purpose). Placement: what the loads ask for
 * (number of units, observed rack) is drawn first; then a source arrangement, uniform over those that leave room for
 * them (arrangements without room are drawn anew, which leaves the others equally likely); then the loads beside it.
 * Contacts and sharing weights: in the order of the units from the bottom up, supply before return, one uniform number
 * each from their own streams. With `stratifySources` the arrangement is chosen by a number that the design spreads over
 * each replicate. Studies that differ only in their uncertain quantities therefore share their placements.
 * @throws ImpossibleRules when the rules leave no placement
 * @throws InputError when the catalogue lacks a unit, or a distribution, correlation or design cannot be drawn
 */
export function scenarioSource(study: Study): ScenarioSource {
  checkRules(study);
  const { book, sources, loads } = preparePlacements(study);
  const { seed, uncertain } = study;
  const build = new BuildDraw(study);
  const sourceContact = quantileOf(uncertain.sourceContact, 'uncertain.sourceContact');
  const loadContact = quantileOf(uncertain.loadContact, 'uncertain.loadContact');
  const sharingWeight = quantileOf(uncertain.sharingWeight, 'uncertain.sharingWeight');
  const { sampling } = study;
  const design = sampling.design !== 'plain' && sampling.stratifySources === true ? spreadDesign(study) : null;
  const standing = new StandingUnits(book);
  const own = {
    placement: new KeyedStream(seed, 'placement'), contacts: new KeyedStream(seed, 'contacts'),
    sharing: new KeyedStream(seed, 'sharing'), build: build.stream,
  };
  const needed = [
    own.placement, ...(sourceContact || loadContact ? [own.contacts] : []), ...(sharingWeight ? [own.sharing] : []),
    ...(build.isNominal ? [] : [own.build]),
  ];
  const templates = book.types.all.map((type) => {
    const { resistance } = type.contact;
    return unitTemplate(placedUnit(type, 0, 0, 0, [resistance, resistance], 1));
  });
  /** `[slot]`: position + 1 of the unit whose lowest slot it is. */
  const unitAt = new Int32Array(book.slotCount + 2);

  function place(index: number, stream: RandomStream, isSpread: boolean): number {
    const demand = loads.begin(stream);
    const { words } = loads.demands[demand];
    for (let attempt = 0; attempt < TRIES; attempt++) {
      standing.clear();
      // The first arrangement is spread; those drawn because it left no room are not, and the law stays what it is.
      const u = isSpread && design !== null && attempt === 0 ? design.uniform(index, SOURCE_COORDINATE, stream.double()) : null;
      sources.drawInto(standing, stream, u);
      try {
        const leftOut = loads.place(demand, standing, stream);
        if (leftOut >= 0) return leftOut;
      } catch (error) {
        if (error instanceof TooManyStates) throw new PlacementNotFound(index, attempt + 1, words);
        throw error;
      }
    }
    throw new PlacementNotFound(index, TRIES, words);
  }

  function fillRows(rows: UnitRows, streams: ScenarioStreams, sourceContacts?: RandomStream): void {
    const contacts = sourceContact || loadContact ? streams('contacts') : null;
    const sharing = sharingWeight ? streams('sharing') : null;
    for (let at = 0; at < standing.count; at++) unitAt[standing.bottomSlot[at]] = at + 1;
    const { numbers, names } = rows;
    rows.count = standing.count;
    let row = 0;
    for (let slot = 1; slot <= book.slotCount; slot++) {
      if (unitAt[slot] === 0) continue;
      const at = unitAt[slot] - 1;
      unitAt[slot] = 0;
      const type = book.types.all[standing.type[at]];
      const template = templates[standing.type[at]];
      names[row] = type;
      const first = UNIT_FIELDS * row++;
      for (let k = 0; k < UNIT_FIELDS; k++) numbers[first + k] = template[k];
      numbers[first + UNIT.bottomSlot] = slot;
      numbers[first + UNIT.heightSlots] = standing.heightSlots[at];
      numbers[first + UNIT.contactSlot] = slot + type.contactSlot - 1;
      numbers[first + UNIT.power] = standing.power[at];
      if (contacts) {
        // Taken for every unit, so that drawing the sources' contacts too leaves the loads' as they were.
        let supply = contacts.double();
        let back = contacts.double();
        const quantile = type.source ? sourceContact : loadContact;
        if (quantile) {
          if (type.source && sourceContacts) {
            supply = sourceContacts.double();
            back = sourceContacts.double();
          }
          numbers[first + UNIT.supplyResistance] = quantile(supply);
          numbers[first + UNIT.returnResistance] = quantile(back);
        }
      }
      if (type.source && sharing && sharingWeight) numbers[first + UNIT.sharingWeight] = sharingWeight(sharing.double());
    }
  }

  /** By twos: see beginWith. */
  function beginStreams(index: number): void {
    let k = 0;
    for (; k + 1 < needed.length; k += 2) needed[k].beginWith(needed[k + 1], index);
    if (k < needed.length) needed[k].begin(index);
  }

  function drawInto(rows: UnitRows, index: number): number {
    beginStreams(index);
    const unitsLeftOut = place(index, own.placement, true);
    rows.index = index;
    fillRows(rows, (purpose) => own[purpose]);
    rows.build = build.drawBegun(index);
    return unitsLeftOut;
  }

  const ownRows = new UnitRows(book.slotCount);
  return {
    draw(index) {
      const unitsLeftOut = drawInto(ownRows, index);
      return { scenario: ownRows.scenario(), unitsLeftOut };
    },
    drawInto,
    drawFrom(streams, sourceContacts) {
      const unitsLeftOut = place(NOT_OF_A_STUDY, streams('placement'), false);
      ownRows.index = NOT_OF_A_STUDY;
      fillRows(ownRows, streams, sourceContacts);
      ownRows.build = build.drawFrom(streams('build'));
      return { scenario: ownRows.scenario(), unitsLeftOut };
    },
    describe: () => describeDraws(study, sources, loads),
  };
}

function quantileOf(given: Distribution | null, path: string): QuantileFunction | null {
  return given === null ? null : distributionQuantile(given, path);
}
