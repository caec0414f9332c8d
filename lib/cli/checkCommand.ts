import { scenarioSource } from '../draw/index.js';
import { conductorMass, type Rack, type Study, ZERO_CELSIUS } from '../rack/index.js';
import { smallestSample, smallestSampleForInterval } from '../statistics/index.js';
import { EXIT } from './exitCodes.js';
import { openRack, openStudy } from './openStudy.js';
import { formatOf, type Screen } from './program.js';
import { plainText, textTable } from './textTable.js';

export function checkCommand(file: string, options: { readonly json: boolean }, screen: Screen): number {
  const isRack = formatOf(file)?.startsWith('slotcast-rack/') === true;
  if (isRack) {
    const { rack, warnings } = openRack(file, screen);
    screen.out(options.json
      ? JSON.stringify({ file, valid: true, warnings, rack: rackFacts(rack) }, null, 2)
      : [`${file} can be used.`, rackLine(rack)].join('\n'));
    return EXIT.ok;
  }
  const { study, inputs, warnings } = openStudy(file, screen);
  const draws = scenarioSource(study).describe();
  const samples = sampleSizes(study);
  if (options.json) {
    screen.out(JSON.stringify({
      file, valid: true, warnings, study: study.name, seed: study.seed, scenarios: study.scenarios, inputs,
      rack: rackFacts(study.rack), draws, sampleSizes: samples,
    }, null, 2));
    return EXIT.ok;
  }
  const confidence = `${Number((100 * study.confidence).toPrecision(6))} %`;
  screen.out([
    `${file} and the ${inputs.length - 1} files it names can be used.`,
    rackLine(study.rack),
    `${study.scenarios} scenarios, seed ${plainText(study.seed)}.`,
    '',
    'What will be drawn',
    ...draws.map((line) => `  ${plainText(line)}`),
    '',
    `Scenarios needed at ${confidence} confidence (this study: ${study.scenarios})`,
    textTable(
      ['percentile', 'two-sided interval', 'one-sided bound', 'enough'],
      samples.map((row) => [
        `${row.percent}%`, String(row.intervalNeeds), String(row.boundNeeds),
        row.intervalNeeds <= study.scenarios ? 'yes' : 'NO: the interval will be refused',
      ]),
    ),
    ...(study.sampling.design === 'plain' ? [] : [
      '', `Replicates of ${study.sampling.size} scenarios: intervals come from the replicates, not from ranks.`,
    ]),
  ].join('\n'));
  return EXIT.ok;
}

function sampleSizes(study: Study): { percent: number; intervalNeeds: number; boundNeeds: number }[] {
  return study.percentiles.filter((p) => p > 0 && p < 1).map((p) => ({
    percent: Number((100 * p).toPrecision(6)),
    intervalNeeds: smallestSampleForInterval(p, study.confidence),
    boundNeeds: p <= 0.5
      ? smallestSample({ p, confidence: study.confidence, order: 1 })
      : smallestSample({ p, confidence: study.confidence, order: 1, side: 'upper' }),
  }));
}

function rackFacts(rack: Rack): object {
  const mass = conductorMass(rack);
  return {
    name: rack.name, slotCount: rack.slotCount, pitchMm: rack.pitch * 1e3, copperKg: mass.total,
    setV: rack.setVoltage, sharing: rack.sharing.model, operatingStates: rack.operatingStates,
  };
}

function rackLine(rack: Rack): string {
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
