import { formatLevel, formatNumber } from '../../figure/index.js';
import { type Film, type Pole, type Rack, type Section as BarSection, ZERO_CELSIUS } from '../../rack/index.js';
import type { Summary } from '../../study/index.js';
import { type Content, table } from '../content.js';
import { type Html, html, nameOf } from '../html.js';
import { stateWords } from './binding.js';

const LIMIT_KEYS: Readonly<Record<string, (value: string) => string>> = {
  barRiseK: (value) => `bar rise ${value} K above the local air`,
  barC: (value) => `bar temperature ${value} °C`,
  contactC: (value) => `contact temperature ${value} °C`,
  loadContactA: (value) => `load-contact current ${value} A`,
  lowestLoadV: (value) => `load voltage not below ${value} V`,
};

/** The rack as it was computed. */
export function rackData({ input }: Content): Html {
  const { rack, summary, lowest } = input;
  const { air } = rack;
  const alike = JSON.stringify(rack.supply) === JSON.stringify(rack.return);
  const poles: (readonly [string, Pole])[] = alike
    ? [['Both poles', rack.supply]] : [['Supply pole', rack.supply], ['Return pole', rack.return]];
  const standing = lowest[0].replay.scenario.units.filter(({ kind }) => kind !== 'load');
  const sources = new Map(standing.map((unit) => [unit.equipment, unit]));
  const sharing = { equal: 'sources share the current alike', droop: 'sources share by droop' }[rack.sharing.model];
  return table('Rack data', ['Quantity', 'Value'], [
    ['Slots', `${rack.slotCount} of ${formatLevel(rack.pitch * 1e3)} mm`],
    ...poles.map(([name, pole]) => [name, poleWords(pole)]),
    ['Busbar mass', `${formatNumber(summary.rack.copperKg, 1)} kg, both poles, without joints and contacts`],
    ['Feed', `${formatLevel(rack.setVoltage)} V; ${sharing}`],
    ['Source limits', lines([...sources.values()].map(({ equipment, maxCurrent, maxPower }) =>
      html`${nameOf(equipment)}: ${sourceLimits(maxCurrent, maxPower)}`))],
    ['Limits', lines(limitLines(summary))],
    ['Operating states', rack.operatingStates.map(
      (rule) => `${stateWords(rule)}${rule === 'one-source-out' ? ', each power shelf in turn' : ''}`).join('; ')],
    ['Air', `inlet ${celsius(air.inlet)}, ${profileWords(air.profile)}, `
      + `${formatLevel(air.exhaustRise * 1e3)} K per kW of load beside a slot, `
      + `${formatLevel(air.altitude)} m above sea level; the bar radiates to `
      + `${air.surroundings === null ? 'the local air' : celsius(air.surroundings)}`],
    ['Films', filmWords(rack)],
  ]);
}

function lines(all: readonly Html[]): Html {
  return html`${all.map((line, i) => html`${i > 0 ? html`<br>` : html``}${line}`)}`;
}

function celsius(kelvin: number): string {
  return `${formatLevel(kelvin - ZERO_CELSIUS)} °C`;
}

function poleWords({ sections, joints }: Pole): Html {
  const jointWords = joints.map(({ aboveSlot, resistance }) =>
    html`joint above slot ${aboveSlot}: ${formatLevel(resistance * 1e6)} µΩ`);
  return lines([...sections.map(sectionWords), ...jointWords]);
}

function sectionWords({ fromSlot, toSlot, material, plates, emissivity, openFaces }: BarSection): Html {
  const gap = plates.count > 1 ? `, ${formatLevel(plates.gap * 1e3)} mm apart` : '';
  const faces = ['outer faces covered', 'one outer face open', 'both outer faces open'][openFaces];
  return html`slots ${fromSlot} to ${toSlot}: ${plates.count} × ${formatLevel(plates.depth * 1e3)} mm ×
${formatLevel(plates.thickness * 1e3)} mm of ${nameOf(material.id)}${gap}, emissivity ${formatLevel(emissivity)},
${faces}
(${formatNumber(material.resistivity20 * 1e9, 2)} nΩ·m at 20 °C; ${nameOf(material.source)})`;
}

function sourceLimits(maxCurrent: number, maxPower: number): string {
  const limits = [
    ...(Number.isFinite(maxCurrent) ? [`${formatLevel(maxCurrent)} A`] : []),
    ...(Number.isFinite(maxPower) ? [`${formatLevel(maxPower / 1e3)} kW`] : []),
  ];
  return limits.length > 0 ? limits.join(' and ') : 'no limit';
}

function limitLines({ rack }: Summary): Html[] {
  return Object.entries(rack.limits).map(([key, value]) => {
    const words = LIMIT_KEYS[key] ?? ((text: string) => `${key} ${text}`);
    return html`${words(formatLevel(value))}`;
  });
}

function profileWords(profile: readonly number[]): string {
  const [low, high] = [Math.min(...profile), Math.max(...profile)];
  return high === 0 && low === 0 ? 'the same at every height'
    : `${formatNumber(low, 1)} to ${formatNumber(high, 1)} K above it over the height`;
}

function filmWords({ films }: Rack): string {
  const words = (film: Film) => {
    if (film.model === 'moving-air') return `moving air at ${formatLevel(film.speed)} m/s`;
    if (film.model === 'fixed') return `fixed ${formatLevel(film.coefficient)} W/(m²·K)`;
    return {
      'still-air': 'still air', 'slender-still-air': 'still air, slender bar', handbook: 'handbook formula', channel: 'channel of facing plates',
    }[film.model];
  };
  return `outer faces ${words(films.outerFaces)}, edges ${words(films.edges)}, `
    + `facing faces ${words(films.facingFaces)}; factor ${formatLevel(films.factor)}`;
}
