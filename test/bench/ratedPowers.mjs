/** Rated powers of one workload by the library, by C and by SciPy, in turn. */
import { Baseline, findPython } from './baseline.mjs';
import { compareRatings } from './compare.mjs';
import { internals, slotcast } from './library.mjs';
import { inTurn, ratioOf, secondsOf, spreadOf } from './measure.mjs';
import { packAll, unpack } from './packedRows.mjs';
import { compilerVersion, Reference } from './reference.mjs';
import { workload } from './workloads.mjs';

/** Passes of the library over the few scenarios that SciPy gets, so that the clock's steps do not matter. */
const FEW_PASSES = 20;

/** Ratings with sweeps by the library, `[scenario]`. */
export function rateAll(model, scenarios) {
  return scenarios.map((scenario) => {
    const { power } = model.rate(scenario);
    return { power, sweeps: model.sweeps };
  });
}

/**
 * The C reference on the scenarios that it rates, and those scenarios; null where there is no compiler.
 * Left out are scenarios whose joint search does not close, and those with rises outside the film table.
 */
export async function openReference(folder, rack, scenarios) {
  if (compilerVersion() === null) return null;
  const ladder = new internals.Ladder(rack);
  const first = await Reference.open(folder, ladder, scenarios);
  const kept = scenarios.filter((_, i) => Number.isFinite(first.rows[i].power));
  if (kept.length === scenarios.length) return { reference: first, kept };
  await first.end();
  return { reference: await Reference.open(folder, ladder, kept), kept };
}

/**
 * @param name of the workload
 * @param others whether C and SciPy know its rack: one operating state, equal sharing
 */
export async function measureRatedPowers(name, { rounds, scenarios: count, slowScenarios }, folder, others) {
  const { rack, scenarios } = workload(name, count);
  const model = new slotcast.RackModel(rack);
  const opened = others ? await openReference(folder, rack, scenarios) : null;
  const kept = opened?.kept ?? scenarios;
  const ours = rateAll(model, kept);
  const python = others ? findPython() : null;
  const few = kept.slice(0, slowScenarios);
  const baseline = python === null ? null : await Baseline.open(folder, python.program, rack, few);
  const pass = (packed, passes) => secondsOf(() => {
    for (let k = 0; k < passes; k++) {
      for (const scenario of packed) {
        unpack(model.rows, scenario);
        model.rateRows();
      }
    }
  }) / (passes * packed.length);
  const packed = packAll(model.rows, kept);
  const packedFew = packed.slice(0, slowScenarios);
  const taken = await inTurn(rounds, {
    library: () => 1e6 * pass(packed, 1),
    ...(opened === null ? {} : { c: async () => (1e6 * await opened.reference.pass()) / kept.length }),
    ...(baseline === null ? {} : {
      libraryFew: () => 1e6 * pass(packedFew, FEW_PASSES),
      scipy: async () => (1e6 * (await baseline.pass()).seconds) / few.length,
    }),
  });
  await opened?.reference.end();
  await baseline?.end();
  return {
    workload: name,
    rack: rack.name,
    slots: rack.slotCount,
    scenarios: kept.length,
    leftOut: scenarios.length - kept.length,
    sweeps: ours.reduce((sum, { sweeps }) => sum + sweeps, 0) / kept.length,
    libraryUs: spreadOf(taken.library),
    c: opened === null ? null : {
      us: spreadOf(taken.c),
      libraryOverC: ratioOf(taken.library, taken.c),
      ...compareRatings(ours, opened.reference.rows),
    },
    scipy: baseline === null ? null : {
      us: spreadOf(taken.scipy),
      scipyOverLibrary: ratioOf(taken.scipy, taken.libraryFew),
      ...compareRatings(ours, baseline.rows),
    },
  };
}
