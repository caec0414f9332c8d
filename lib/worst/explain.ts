/** Why a placement carries so little, in words made from its solution, and which single change would free most. */
import type { PlacedUnit, Scenario } from '../draw/index.js';
import { describeState, type LadderSolution, LIMIT_WORDS, RackModel, type RatedPower } from '../ladder/index.js';
import type { Study } from '../rack/index.js';
import { type AllowedPlacement, allowedPlacement } from './allowedPlacement.js';
import type { WorstFound } from './answers.js';

/** A placement, met by search or drawn, with what it carries. */
export type RatedPlacement = Pick<WorstFound, 'scenario' | 'rated'>;

/** A change of a placement that its rules allow. */
export interface Relief {
  readonly words: string;
  readonly scenario: Scenario;
  /** W that it carries more. */
  readonly freed: number;
}

/** What explanations of placements of one study share, so that several need not prepare it anew. */
export interface ExplainTools {
  readonly model: RackModel;
  readonly allowed: AllowedPlacement;
}

/** @param model of the study's rack, where there is one already */
export function explainTools(study: Study, model = new RackModel(study.rack)): ExplainTools {
  let allowed: AllowedPlacement | null = null;
  return {
    model,
    // Only where a change is looked for.
    get allowed() {
      allowed ??= allowedPlacement(study);
      return allowed;
    },
  };
}

/**
 * What binds in a placement that carries little, and why, ending with the change, of those tried, that frees most.
 *
 * @param tools of this study, where several placements are explained
 * @example
 * explainWorst(study, found);
 * // All of its 62.1 kW pass the bar between slots 6 and 7 (1244 A). The return bar at slot 1 reaches bar rise …
 */
export function explainWorst(study: Study, placement: RatedPlacement, tools = explainTools(study)): string {
  const { scenario, rated } = placement;
  const { model } = tools;
  const kilowatts = `${(rated.power / 1e3).toFixed(1)} kW`;
  if (!(rated.power > 0)) return `It carries nothing: ${LIMIT_WORDS[rated.limit]} is reached before the smallest load.`;
  const solution = model.solutionAt(scenario, rated.power * (1 - 1e-6), rated.state);
  const where = rated.slot === 0 ? '' : ` at slot ${rated.slot}${rated.pole === 'both' ? '' : `, ${rated.pole} pole`}`;
  const state = rated.state.rule === 'all-in-service' ? '' : ` (${describeState(rated.state)})`;
  const binds = `${first(LIMIT_WORDS[rated.limit])}${where} binds at ${kilowatts}${state}`;
  const flow = solution.status === 'solved' ? ` ${flowWords(solution)}` : '';
  const own = solution.status === 'solved' ? contactWords(solution, rated.slot, rated.pole) : '';
  const relief = bestRelief(study, placement, tools);
  const helps = relief === null ? 'None of the single changes tried frees anything.'
    : `${first(relief.words)} frees ${(relief.freed / 1e3).toFixed(1)} kW.`;
  return `${binds}.${flow}${own} ${helps}`;
}

function first(words: string): string {
  return words.charAt(0).toUpperCase() + words.slice(1);
}

/** The segment that carries most. */
function flowWords({ segmentCurrent, power, units }: LadderSolution): string {
  let most = 0;
  segmentCurrent.forEach((current, i) => {
    if (Math.abs(current) > Math.abs(segmentCurrent[most])) most = i;
  });
  if (segmentCurrent.length === 0) return '';
  const amperes = Math.abs(segmentCurrent[most]);
  const total = units.reduce((sum, { unit, current }) => sum + (unit.kind === 'load' ? current : 0), 0);
  const share = amperes / total;
  const part = share > 0.995 ? `All of its ${(power / 1e3).toFixed(1)} kW pass`
    : `${Math.round(100 * share)} % of its current passes`;
  return `${part} the bar between slots ${most + 1} and ${most + 2} (${amperes.toFixed(0)} A).`;
}

/** The contact in the binding slot, where there is one, with the pole that binds or else the warmer one. */
function contactWords(solution: LadderSolution, slot: number, pole: RatedPower['pole']): string {
  const { units, air, supplyHottest, returnHottest } = solution;
  const at = units.find(({ unit }) => unit.contactSlot === slot);
  if (at === undefined || at.current === 0) return '';
  const i = slot - 1;
  const named = pole !== 'both' ? pole : returnHottest[i] > supplyHottest[i] ? 'return' : 'supply';
  const [mean, hottest] = named === 'supply' ? [solution.supplyTemperature[i], supplyHottest[i]]
    : [solution.returnTemperature[i], returnHottest[i]];
  return ` The contact of ${at.unit.equipment} there carries ${Math.abs(at.current).toFixed(0)} A; the ${named} bar is `
    + `${(hottest - air[i]).toFixed(1)} K above the air beside it, ${(hottest - mean).toFixed(1)} K of that right at `
    + 'the contact.';
}

/** The allowed single change, of those tried, that frees most; null where none frees anything. */
export function bestRelief(study: Study, { scenario, rated }: RatedPlacement, tools = explainTools(study)): Relief | null {
  const { model, allowed } = tools;
  let best: Relief | null = null;
  for (const { words, units } of changes(study, scenario, allowed)) {
    const changed = { ...scenario, units };
    const freed = model.rate(changed).power - rated.power;
    if (freed > 1e-3 * rated.power && (best === null || freed > best.freed)) best = { words, scenario: changed, freed };
  }
  return best;
}

interface Change {
  readonly words: string;
  readonly units: readonly PlacedUnit[];
}

const at = (unit: PlacedUnit, bottomSlot: number): PlacedUnit => (
  { ...unit, bottomSlot, contactSlot: unit.contactSlot + bottomSlot - unit.bottomSlot });

/** Moves of all sources together, and moves and exchanges of the largest load with another unit of its height. */
function* changes(study: Study, { units }: Scenario, allowed: AllowedPlacement): Generator<Change> {
  const { slotCount } = study.rack;
  const sources = units.filter(({ kind }) => kind !== 'load');
  const loads = units.filter(({ kind }) => kind === 'load');
  const sorted = (list: readonly PlacedUnit[]) => [...list].sort((a, b) => a.bottomSlot - b.bottomSlot);
  for (let shift = 1 - slotCount; shift < slotCount; shift++) {
    if (shift === 0) continue;
    const moved = restacked(sources.map((unit) => at(unit, unit.bottomSlot + shift)), loads, slotCount);
    if (moved === null || !allowed.allows(moved)) continue;
    const slots = Math.abs(shift) === 1 ? 'one slot' : `${Math.abs(shift)} slots`;
    yield { words: `moving the sources ${shift > 0 ? 'up' : 'down'} by ${slots}`, units: sorted(moved) };
  }
  const largest = loads.reduce((a, b) => (b.power / b.heightSlots > a.power / a.heightSlots ? b : a));
  for (const other of units) {
    if (other === largest || other.heightSlots !== largest.heightSlots) continue;
    const exchanged = units.map((unit) => (
      unit === largest ? at(unit, other.bottomSlot) : unit === other ? at(unit, largest.bottomSlot) : unit));
    if (!allowed.allows(exchanged)) continue;
    yield {
      words: `exchanging ${largest.equipment} at slot ${largest.bottomSlot} with ${other.equipment} at slot ${other.bottomSlot}`,
      units: sorted(exchanged),
    };
  }
  const taken = new Set(units.flatMap((unit) => Array.from({ length: unit.heightSlots }, (_, k) => unit.bottomSlot + k)));
  for (let slot = 1; slot + largest.heightSlots - 1 <= slotCount; slot++) {
    if (Array.from({ length: largest.heightSlots }, (_, k) => taken.has(slot + k)).some((hit) => hit)) continue;
    const moved = units.map((unit) => (unit === largest ? at(unit, slot) : unit));
    if (allowed.allows(moved)) {
      yield { words: `moving ${largest.equipment} from slot ${largest.bottomSlot} to slot ${slot}`, units: sorted(moved) };
    }
  }
}

/** Loads kept in their order, pushed past the sources; null where something leaves the rack. */
function restacked(
  sources: readonly PlacedUnit[], loads: readonly PlacedUnit[], slotCount: number,
): PlacedUnit[] | null {
  const taken = new Uint8Array(slotCount + 2);
  for (const { bottomSlot, heightSlots } of sources) {
    if (bottomSlot < 1 || bottomSlot + heightSlots - 1 > slotCount) return null;
    taken.fill(1, bottomSlot, bottomSlot + heightSlots);
  }
  const placed: PlacedUnit[] = [];
  let next = 1;
  let room = slotCount - sources.reduce((sum, { heightSlots }) => sum + heightSlots, 0)
    - loads.reduce((sum, { heightSlots }) => sum + heightSlots, 0);
  for (const load of [...loads].sort((a, b) => a.bottomSlot - b.bottomSlot)) {
    // An empty slot stays below the load where it was, as long as there are any to spare.
    while (next < load.bottomSlot && room > 0 && taken[next] === 0 && fits(taken, next + 1, load.heightSlots, slotCount)) {
      next++;
      room--;
    }
    while (next <= slotCount && !fits(taken, next, load.heightSlots, slotCount)) next++;
    if (next > slotCount) return null;
    placed.push(at(load, next));
    next += load.heightSlots;
  }
  return [...sources, ...placed];
}

function fits(taken: Uint8Array, bottom: number, height: number, slotCount: number): boolean {
  if (bottom + height - 1 > slotCount) return false;
  for (let slot = bottom; slot < bottom + height; slot++) if (taken[slot] === 1) return false;
  return true;
}
