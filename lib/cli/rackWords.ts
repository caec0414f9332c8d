import { conductorMass, type Rack, ZERO_CELSIUS } from '../rack/index.js';
import { plainText } from './textTable.js';

export function rackFacts(rack: Rack): object {
  const mass = conductorMass(rack);
  return {
    name: rack.name, slotCount: rack.slotCount, pitchMm: rack.pitch * 1e3, copperKg: mass.total,
    setV: rack.setVoltage, sharing: rack.sharing.model, operatingStates: rack.operatingStates,
  };
}

export function rackLine(rack: Rack): string {
  const mass = conductorMass(rack);
  return `Rack ${plainText(rack.name)}: ${rack.slotCount} slots of ${(rack.pitch * 1e3).toFixed(2)} mm, `
    + `conductors ${mass.total.toFixed(1)} kg, ${rack.setVoltage} V, ${rack.sharing.model} sharing, `
    + `states: ${rack.operatingStates.join(', ')}.\n${limitsLine(rack)}`;
}

/** Limits that are set, and a warning where nothing limits the temperature of the bar. */
function limitsLine({ limits }: Rack): string {
  const set = [
    [limits.barRise, `bar rise ${limits.barRise} K`],
    [limits.barTemperature, `bar ${(limits.barTemperature - ZERO_CELSIUS).toFixed(1)} °C`],
    [limits.contactTemperature, `contact ${(limits.contactTemperature - ZERO_CELSIUS).toFixed(1)} °C`],
    [limits.loadContactCurrent, `load contact ${limits.loadContactCurrent} A`],
    [limits.lowestLoadVoltage, `load voltage at least ${limits.lowestLoadVoltage} V`],
  ] as const;
  const named = set.filter(([value]) => Number.isFinite(value)).map(([, words]) => words);
  const thermal = [limits.barRise, limits.barTemperature, limits.contactTemperature].some(Number.isFinite);
  return `Limits: ${named.join(', ')}.${thermal ? '' : '\nWARNING: no limit on bar rise, bar or contact temperature:'
    + ' rated powers may belong to glowing copper.'}`;
}
