import { currentForRise, type LongBar, type LongBarBalance, NoSteadyStateError, riseForCurrent, type Run } from '../ladder/index.js';
import { BUILT_IN_MATERIALS, type Film, InputError, type Material, ZERO_CELSIUS } from '../rack/index.js';
import { EXIT } from './exitCodes.js';
import type { Screen } from './program.js';

export interface BarOptions {
  readonly depthMm: number;
  readonly thicknessMm: number;
  readonly plates: number;
  readonly gapMm?: number;
  readonly material: string;
  readonly run: Run;
  readonly lengthM: number;
  readonly film: 'still-air' | 'slender-still-air' | 'handbook' | 'moving-air' | 'fixed';
  readonly filmFactor: number;
  readonly speedMPerS?: number;
  readonly coefficientWPerM2k?: number;
  readonly emissivity: number;
  readonly ambientC: number;
  readonly altitudeM: number;
  readonly riseK?: number;
  readonly currentA?: number;
  readonly json: boolean;
}

export function barCommand(options: BarOptions, screen: Screen): number {
  const { riseK, currentA } = options;
  if ((riseK === undefined) === (currentA === undefined)) {
    throw refused('--rise-k, --current-a', riseK === undefined ? 'neither' : 'both', 'give exactly one of the two');
  }
  const bar = barOf(options);
  let balance: LongBarBalance;
  try {
    balance = riseK !== undefined ? currentForRise(bar, riseK) : riseForCurrent(bar, currentA ?? 0);
  } catch (error) {
    if (error instanceof RangeError) {
      throw refused('--depth-mm, --thickness-mm, --ambient-c, --altitude-m, --rise-k', error.message, 'stay within what the model covers');
    }
    if (!(error instanceof NoSteadyStateError)) throw error;
    // An answer, not an error: the bar runs away at this current.
    screen.out(options.json
      ? JSON.stringify({ steadyState: false, currentA: error.current }, null, 2)
      : `No steady state at ${error.current} A: resistance rises faster with temperature than cooling does.`);
    return EXIT.ok;
  }
  const rise = balance.temperature - bar.air;
  screen.out(options.json
    ? JSON.stringify({
      steadyState: true, currentA: balance.current, riseK: rise, barC: balance.temperature - ZERO_CELSIUS,
      resistanceMicroOhmPerM: balance.resistance * 1e6, convectionWPerM: balance.convection,
      radiationWPerM: balance.radiation,
    }, null, 2)
    : [
      `${balance.current.toFixed(1)} A at a rise of ${rise.toFixed(2)} K over ${options.ambientC} °C`
        + ` (bar at ${(balance.temperature - ZERO_CELSIUS).toFixed(2)} °C)`,
      `Resistance ${(balance.resistance * 1e6).toFixed(2)} µΩ/m; heat ${(balance.convection + balance.radiation).toFixed(1)} W/m`
        + ` = convection ${balance.convection.toFixed(1)} + radiation ${balance.radiation.toFixed(1)}`,
      'Long bar in free air: no contacts, no neighbours, no enclosure.',
    ].join('\n'));
  return EXIT.ok;
}

function barOf(options: BarOptions): LongBar {
  const { plates, gapMm } = options;
  if (plates === 1 && gapMm !== undefined) throw refused('--gap-mm', String(gapMm), 'only with more than one plate');
  if (options.film !== 'moving-air' && options.speedMPerS !== undefined) {
    throw refused('--speed-m-per-s', String(options.speedMPerS), 'only with --film moving-air');
  }
  if (options.film !== 'fixed' && options.coefficientWPerM2k !== undefined) {
    throw refused('--coefficient-w-per-m2k', String(options.coefficientWPerM2k), 'only with --film fixed');
  }
  if (plates > 1 && gapMm === undefined) throw refused('--gap-mm', 'nothing', 'needed where there is more than one plate');
  const film = filmOf(options);
  if (options.film === 'slender-still-air' && options.run !== 'vertical') {
    throw refused('--film', options.film, 'for a vertical run only: add --run vertical');
  }
  return {
    section: {
      material: materialOf(options.material),
      plates: {
        count: plates,
        depth: options.depthMm / 1e3,
        thickness: options.thicknessMm / 1e3,
        gap: (gapMm ?? 0) / 1e3,
      },
      emissivity: options.emissivity,
      openFaces: 2,
    },
    films: { outerFaces: film, edges: film, facingFaces: plates > 1 ? { model: 'channel' } : film, factor: options.filmFactor },
    run: options.run,
    runLength: options.lengthM,
    air: options.ambientC + ZERO_CELSIUS,
    surroundings: options.ambientC + ZERO_CELSIUS,
    altitude: options.altitudeM,
  };
}

function filmOf({ film, speedMPerS, coefficientWPerM2k }: BarOptions): Film {
  if (film === 'moving-air') {
    if (speedMPerS === undefined) throw refused('--speed-m-per-s', 'nothing', 'needed with moving air');
    return { model: film, speed: speedMPerS };
  }
  if (film === 'fixed') {
    if (coefficientWPerM2k === undefined) throw refused('--coefficient-w-per-m2k', 'nothing', 'needed with a fixed film');
    return { model: film, coefficient: coefficientWPerM2k };
  }
  return { model: film };
}

function materialOf(id: string): Material {
  const known: readonly Material[] = Object.values(BUILT_IN_MATERIALS);
  const found = known.find((material) => material.id === id);
  if (found === undefined) throw refused('--material', id, `one of ${known.map((m) => m.id).join(', ')}`);
  return found;
}

function refused(option: string, found: string, allowed: string): InputError {
  return new InputError([{ file: option, path: '', found, allowed }]);
}
