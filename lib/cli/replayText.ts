/** One scenario in full for a terminal. */
import { describeState, type LadderSolution, LIMIT_WORDS } from '../ladder/index.js';
import { ZERO_CELSIUS } from '../rack/index.js';
import { placementPicture, type Replay } from '../study/index.js';
import { plainText, textTable } from './textTable.js';

const BAR_WIDTH = 30;

export function replayText(replay: Replay, slotCount: number): string {
  const { scenario, rated, solutions } = replay;
  const { build } = scenario;
  const built = [
    `contact factor ${build.contactFactor.toFixed(3)}`, `film factor ${build.filmFactor.toFixed(3)}`,
    `area factor ${build.areaFactor.toFixed(4)}`,
    build.emissivity === null ? null : `emissivity ${build.emissivity.toFixed(3)}`,
    build.inlet === null ? null : `inlet ${(build.inlet - ZERO_CELSIUS).toFixed(2)} °C`,
  ].filter((text) => text !== null);
  const pole = rated.pole === 'both' ? '' : `, ${rated.pole} pole`;
  const slot = rated.slot > 0 ? ` at slot ${rated.slot}${pole}` : '';
  const head = [
    `Scenario ${scenario.index}: rated ${(rated.power / 1e3).toFixed(3)} kW`,
    `Binds: ${LIMIT_WORDS[rated.limit]}${slot}, ${describeState(rated.state)}`,
    `Drawn: ${built.join(', ')}`,
    ...(replay.unitsLeftOut > 0 ? [`${replay.unitsLeftOut} observed units found no place and are left out`] : []),
    `Placement (bottom slot left): ${placementPicture(scenario.units, slotCount)}`,
  ];
  const states = solutions.map((solution) =>
    solution.status === 'solved'
      ? `  ${describeState(solution.state)}: ${(100 * solution.utilisation).toFixed(1)} % of its nearest limit, `
        + `${LIMIT_WORDS[solution.binding.limit]} at slot ${solution.binding.slot}`
      : `  ${describeState(solution.state)}: ${LIMIT_WORDS[solution.status]}`);
  const [first] = solutions;
  const body = first.status === 'solved'
    ? [slotTable(first), '', temperaturePicture(first), '', currentPicture(first), '', ...frameLines(first), balanceLine(first)]
    : [`No solution to show: ${LIMIT_WORDS[first.status]} at ${(first.power / 1e3).toFixed(3)} kW`];
  return [
    ...head, '',
    `At ${(first.power / 1e3).toFixed(3)} kW in each operating state:`, ...states, '',
    `Slot by slot, top first (${describeState(first.state)}; bar temperatures at the hottest point of its depth):`, ...body,
  ].join('\n');
}

/** Top slot first, as the rack stands. */
function downwards(slotCount: number): number[] {
  return Array.from({ length: slotCount }, (_, i) => slotCount - 1 - i);
}

function slotTable(solution: LadderSolution): string {
  const n = solution.air.length;
  const rows = downwards(n).map((i) => {
    const slot = i + 1;
    const unit = solution.units.find((u) => u.unit.contactSlot === slot);
    const body = solution.units.find(
      (u) => u.unit.bottomSlot <= slot && slot < u.unit.bottomSlot + u.unit.heightSlots);
    const contact = unit === undefined ? '' : celsius(Math.max(...unit.contactTemperature));
    return [
      String(slot),
      unit === undefined ? (body === undefined ? '' : '|') : plainText(unit.unit.equipment),
      unit === undefined ? '' : (unit.power / 1e3).toFixed(2),
      unit === undefined ? '' : unit.current.toFixed(1),
      unit === undefined ? '' : unit.voltage.toFixed(3),
      i < n - 1 ? solution.segmentCurrent[i].toFixed(1) : '',
      celsius(solution.air[i]),
      celsius(solution.supplyHottest[i]),
      celsius(solution.returnHottest[i]),
      contact,
    ];
  });
  return textTable(
    ['slot', 'unit', 'kW', 'A', 'V', 'A up the bar', 'air °C', 'supply °C', 'return °C', 'contact °C'], rows,
  );
}

function temperaturePicture(solution: LadderSolution): string {
  const rise = (i: number) =>
    Math.max(solution.supplyHottest[i], solution.returnHottest[i]) - solution.air[i];
  const all = downwards(solution.air.length).map(rise);
  const scale = Math.max(...all, 1e-9);
  const lines = all.map((value, row) =>
    `${String(solution.air.length - row).padStart(4)} ${bar(value / scale)} ${value.toFixed(1)}`);
  return [`Rise of the warmer pole above the local air, K (full width ${scale.toFixed(1)} K)`, ...lines].join('\n');
}

function currentPicture(solution: LadderSolution): string {
  const { segmentCurrent } = solution;
  const scale = segmentCurrent.reduce((most, c) => Math.max(most, Math.abs(c)), 1e-9);
  const lines = downwards(segmentCurrent.length).map((i) => {
    const arrow = segmentCurrent[i] >= 0 ? '^' : 'v';
    return `${String(i + 1).padStart(4)} ${bar(Math.abs(segmentCurrent[i]) / scale, arrow)} ${Math.abs(segmentCurrent[i]).toFixed(0)}`;
  });
  return [
    `Current in the supply pole between each slot and the next, A (^ upwards, v downwards; full width ${scale.toFixed(0)} A)`,
    ...lines,
  ].join('\n');
}

function bar(fraction: number, mark = '#'): string {
  return mark.repeat(Math.max(0, Math.round(fraction * BAR_WIDTH))).padEnd(BAR_WIDTH);
}

/** How the return current divides, where the rack has a frame. */
function frameLines({ frame, units, segmentCurrent }: LadderSolution): string[] {
  if (frame === null) return [];
  const largest = frame.frameCurrent.reduce((most, amperes, i) => (Math.abs(amperes) > Math.abs(frame.frameCurrent[most]) ? i : most), 0);
  const grounded = units.filter(({ groundCurrent }) => groundCurrent !== null);
  const share = (part: number, whole: number) => (Math.abs(whole) > 1e-9 ? ((100 * part) / whole).toFixed(1) : '');
  return [
    'Return current in the frame',
    ...(segmentCurrent.length === 0 ? [] : [
      `Most between slots ${largest + 1} and ${largest + 2}: frame ${frame.frameCurrent[largest].toFixed(1)} A, return pole `
        + `${frame.returnCurrent[largest].toFixed(1)} A, supply pole ${segmentCurrent[largest].toFixed(1)} A (return: positive downwards)`,
    ]),
    ...(grounded.length === 0 ? [] : [textTable(['slot', 'unit', 'A', 'A through its ground contact', '%'],
      [...grounded].reverse().map(({ unit, current, groundCurrent }) => [
        String(unit.contactSlot), plainText(unit.equipment), current.toFixed(1), (groundCurrent ?? 0).toFixed(2), share(groundCurrent ?? 0, current),
      ]))]),
    ...(frame.bonds.length === 0 ? [] : [textTable(['bond at slot', 'A from the return pole into the frame'],
      frame.bonds.map(({ slot, current }) => [String(slot), current.toFixed(2)]))]),
    '',
  ];
}

function balanceLine({ balance }: LadderSolution): string {
  const w = (value: number) => value.toFixed(1);
  return `Sources ${w(balance.sourcePower)} W = loads ${w(balance.loadPower)} W + bar ${w(balance.jouleHeat)} W `
    + `+ contacts ${w(balance.contactHeat)} W + spreading ${w(balance.spreadingHeat)} W`
    + `${balance.frameHeat > 0 ? ` + frame ${w(balance.frameHeat)} W` : ''}. Bar heat ${w(balance.heatIn)} W = convection ${w(balance.convection)} W `
    + `+ radiation ${w(balance.radiation)} W.`;
}

function celsius(kelvin: number): string {
  return (kelvin - ZERO_CELSIUS).toFixed(1);
}
