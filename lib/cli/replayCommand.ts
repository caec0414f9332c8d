import { describeState, type LadderSolution, type NoSolution } from '../ladder/index.js';
import { ZERO_CELSIUS } from '../rack/index.js';
import { placementPicture, type Replay, replayScenario } from '../study/index.js';
import { EXIT } from './exitCodes.js';
import { openStudy } from './openStudy.js';
import type { Screen } from './program.js';
import { replayText } from './replayText.js';
import { withOverrides } from './studyCommand.js';

export function replayCommand(
  file: string, index: number, options: { readonly json: boolean; readonly seed?: string }, screen: Screen,
): number {
  const study = withOverrides(openStudy(file, screen).study, options);
  const replay = replayScenario(study, index);
  const { slotCount } = study.rack;
  screen.out(options.json ? JSON.stringify(replayJson(replay, slotCount), null, 2) : replayText(replay, slotCount));
  return EXIT.ok;
}

/** The replay as plain data with units in the keys. */
export function replayJson(replay: Replay, slotCount: number): object {
  const { scenario, rated, solutions } = replay;
  const { build } = scenario;
  return {
    format: 'slotcast-replay/1',
    index: scenario.index,
    ratedKw: rated.power / 1e3,
    limit: rated.limit,
    slot: rated.slot,
    pole: rated.pole,
    state: describeState(rated.state),
    picture: placementPicture(scenario.units, slotCount),
    unitsLeftOut: replay.unitsLeftOut,
    build: {
      contactFactor: build.contactFactor,
      filmFactor: build.filmFactor,
      areaFactor: build.areaFactor,
      emissivity: build.emissivity,
      inletC: build.inlet === null ? null : build.inlet - ZERO_CELSIUS,
    },
    solutions: solutions.map(solutionJson),
  };
}

function solutionJson(solution: LadderSolution | NoSolution): object {
  const common = { status: solution.status, state: describeState(solution.state), loadKw: solution.power / 1e3 };
  if (solution.status !== 'solved') return common;
  const celsius = (values: Float64Array) => Array.from(values, (t) => t - ZERO_CELSIUS);
  const { balance } = solution;
  return {
    ...common,
    utilisation: solution.utilisation,
    nearestLimit: solution.binding,
    airC: celsius(solution.air),
    supplyC: celsius(solution.supplyTemperature),
    returnC: celsius(solution.returnTemperature),
    supplyHottestC: celsius(solution.supplyHottest),
    returnHottestC: celsius(solution.returnHottest),
    segmentCurrentA: Array.from(solution.segmentCurrent),
    ...(solution.frame === null ? {} : {
      frame: {
        returnCurrentA: Array.from(solution.frame.returnCurrent), frameCurrentA: Array.from(solution.frame.frameCurrent),
        bonds: solution.frame.bonds.map(({ slot, current }) => ({ slot, currentA: current })),
      },
    }),
    voltageV: Array.from(solution.voltage),
    units: solution.units.map(({ unit, current, power, voltage, contactTemperature, groundCurrent }) => ({
      kind: unit.kind,
      equipment: unit.equipment,
      bottomSlot: unit.bottomSlot,
      heightSlots: unit.heightSlots,
      contactSlot: unit.contactSlot,
      powerKw: power / 1e3,
      currentA: current,
      ...(groundCurrent === null ? {} : { groundContactA: groundCurrent }),
      voltageV: voltage,
      contactMicroOhm: unit.contactResistance.map((r) => r * 1e6),
      contactC: contactTemperature.map((t) => t - ZERO_CELSIUS),
    })),
    balance: {
      sourceW: balance.sourcePower,
      loadW: balance.loadPower,
      barLossW: balance.jouleHeat,
      contactLossW: balance.contactHeat,
      spreadingLossW: balance.spreadingHeat,
      ...(solution.frame === null ? {} : { frameLossW: balance.frameHeat }),
      powerResidualW: balance.powerResidual,
      heatIntoBarW: balance.heatIn,
      convectionW: balance.convection,
      radiationW: balance.radiation,
      heatResidualW: balance.heatResidual,
      currentResidualA: balance.currentResidual,
    },
  };
}
