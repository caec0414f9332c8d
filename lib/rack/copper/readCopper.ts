import { logImplausible } from '../plausible.js';
import { COPPER_FORMAT, type CopperFile, copperSchema } from '../schema/copperSchema.js';
import { hasFormat, logPrototypeKeys, parseParts } from '../schema/parsedParts.js';
import type { Study } from '../studyModel.js';
import { describeValue, type ProblemLog } from '../text/problemLog.js';
import { listWords, suggestion } from '../text/spelling.js';
import { fromKw, fromMm, fromPercent } from '../text/units.js';
import { materialsKnown } from './changedRack.js';
import type { CopperRequest, LeastRequest, NamedChange } from './copperModel.js';
import { readBalance } from './readBalance.js';
import { designChange, sweepChanges } from './sweepChanges.js';

/** Designs that one file may ask for. */
const MOST_DESIGNS = 500;

/**
 * A copper file from parsed JSON, checked against its study; null where a problem was logged.
 *
 * @param study null: it could not be read, and what needs it is not checked
 */
export function readCopper(json: unknown, study: Study | null, log: ProblemLog): CopperRequest | null {
  if (!hasFormat(json, COPPER_FORMAT, 'copper', log)) return null;
  logPrototypeKeys(json, '', log);
  const { parts } = parseParts(copperSchema, json, log);
  logImplausible(json, log);
  const designs = readDesigns(parts, log);
  logPrices(parts, study, log);
  const least = parts.least && readLeast(parts.least, log);
  const balance = parts.balance && readBalance(parts.balance, study, log);
  if (parts.floor !== undefined || least?.basis === 'floor') logFloor(parts, study, log);
  if (!log.isEmpty) return null;
  const file = parts as CopperFile;
  return {
    name: file.name,
    percentile: fromPercent(file.percentilePercent),
    scenarios: file.scenarios ?? null,
    load: fromKw(file.loadKw),
    prices: new Map(file.prices.map(({ material, pricePerKg }) => [material, pricePerKg])),
    currency: file.currency ?? null,
    designs,
    least: least ?? null,
    floor: file.floor === undefined ? null
      : { seconds: file.floor.secondsPerDesign, coverPercent: file.floor.coverPercent ?? null },
    varianceRuns: file.varianceRuns,
    balance: balance ?? null,
  };
}

/** The name of a copper file's study, where the file has got that far. */
export function studyOf(json: unknown): string | null {
  const study = (json as { study?: unknown } | null | undefined)?.study;
  return typeof study === 'string' && study.trim() !== '' ? study : null;
}

function readDesigns({ sweep, designs = [], least }: Partial<CopperFile>, log: ProblemLog): NamedChange[] {
  const size = sweep === undefined ? 0
    : Object.values(sweep).reduce<number>((product, axis) => product * (Array.isArray(axis) ? axis.length : 1), 1);
  if (size + designs.length > MOST_DESIGNS) {
    log.add('sweep', `${size + designs.length} designs`, `ask for at most ${MOST_DESIGNS}`);
    return [];
  }
  const swept = sweep === undefined ? [] : sweepChanges(sweep);
  if (sweep !== undefined && swept.length === 0) {
    log.add('sweep', 'no list of values',
      'list values of depthMm, thicknessMm, count, gapMm, material, jointAboveSlot or tapers');
  }
  if (sweep === undefined && designs.length === 0 && least === undefined) {
    log.add('designs', 'no design', 'give "sweep", "designs" or "least": there is nothing to compare');
  }
  const all = [...swept, ...designs.map(designChange)];
  all.forEach(({ name }, index) => {
    if (name !== BASE_NAME && all.findIndex((other) => other.name === name) === index) return;
    const place = index - swept.length;
    log.add(place < 0 ? 'sweep' : `designs[${place}].name`, `${describeValue(name)}, which is taken`,
      'give every design a name of its own');
  });
  return all;
}

/** What the base itself is called in tables. */
export const BASE_NAME = 'base';

function logPrices({ prices = [], currency }: Partial<CopperFile>, study: Study | null, log: ProblemLog): void {
  const ids = study === null ? null : materialsKnown(study.rack).map(({ id }) => id);
  prices.forEach(({ material }, index) => {
    const path = `prices[${index}].material`;
    if (ids !== null && !ids.includes(material)) {
      log.add(path, describeValue(material), `${suggestion(material, ids)}give one of ${listWords(ids)}`);
    } else if (prices.findIndex((other) => other.material === material) < index) {
      log.add(path, `${describeValue(material)} a second time`, 'give one price for each material');
    }
  });
  if (prices.length > 0 && currency === undefined) {
    log.add('currency', 'nothing, with prices', 'say in which currency the prices are');
  }
}

function readLeast(file: NonNullable<CopperFile['least']>, log: ProblemLog): LeastRequest {
  const [from, to, key] = file.vary === 'scale' ? [file.fromFactor, file.toFactor, 'toFactor']
    : [fromMm(file.fromMm), fromMm(file.toMm), 'toMm'];
  if (!(to > from)) {
    log.add(`least.${key}`, String(file.vary === 'scale' ? file.toFactor : file.toMm), 'give more than the lower end');
  }
  return {
    wanted: fromKw(file.wantedKw), basis: file.basis, vary: file.vary, from, to, tolerance: fromMm(file.toleranceMm),
    poles: file.poles,
  };
}

/** A floor rests on a limit of the bar, and on seconds that the file gives. */
function logFloor({ floor, least }: Partial<CopperFile>, study: Study | null, log: ProblemLog): void {
  if (floor === undefined && least?.basis === 'floor') {
    log.add('floor', 'nothing, with "least" on the floor', 'give {"secondsPerDesign": …}');
  }
  const limits = study?.rack.limits;
  if (limits !== undefined && !Number.isFinite(limits.barRise) && !Number.isFinite(limits.barTemperature)) {
    log.add('floor', 'a rack with neither barRiseK nor barC', 'give the rack file one of them: a floor rests on it');
  }
}
