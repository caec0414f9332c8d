import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { type InputProblem, loadHeatRun, parseCatalogue, parseHeatRun, parseRack } from '../../lib/rack/index.js';
import { CATALOGUE, problemsOf, RACK } from './fixtures.js';

const context = { rack: parseRack(RACK), catalogue: parseCatalogue(CATALOGUE) };
const [SOURCE, LOAD] = [context.catalogue.sources[0].id, context.catalogue.loads[0].id];
const HEADER = 'point,kind,slot,equipment,sensor,pole,temperatureC,currentA,powerKw,depth,standardErrorK,driftKPerH,timeMin';
const AIR = 'p,air,,,,,25,,,,,,';
const UNITS = [`p,source,1,${SOURCE},,,,,,,,,`, `p,load,5,${LOAD},,,,,2.5,,,,`];
const SENSOR = 'p,bar,4,,S4,supply,41.5,,,front-edge,0.5,0.3,';
const text = (...rows: string[]) => [HEADER, ...rows].join('\n');
const parse = (...rows: string[]) => parseHeatRun(text(...rows), context);

describe('a heat run', () => {
  it('is read in SI, by operating point', () => {
    expect(parse(AIR, ...UNITS, SENSOR)).toEqual({
      points: [{
        name: 'p',
        inlet: 298.15,
        units: [
          { kind: 'source', equipment: SOURCE, bottomSlot: 1, current: null, power: null },
          { kind: 'load', equipment: LOAD, bottomSlot: 5, current: null, power: 2500 },
        ],
        readings: [{
          sensor: 'S4', place: 'bar', slot: 4, pole: 0, depth: 'front-edge', temperature: 314.65, standardError: 0.5, driftPerHour: 0.3,
        }],
      }],
    });
  });

  it('needs only the columns it uses, in any order', () => {
    const csv = ['kind,point,temperatureC,pole,sensor,equipment,slot,currentA', 'air,p,25,,,,,', `source,p,,,,${SOURCE},1,40`, `load,p,,,,${LOAD},5,40`, 'bar,p,,return,R2,,2,'];
    const { points: [{ units, readings }] } = parseHeatRun(csv.join('\n'), context);
    expect(units.map(({ current, power }) => [current, power])).toEqual([[40, null], [40, null]]);
    expect(readings).toEqual([{
      sensor: 'R2', place: 'bar', slot: 2, pole: 1, depth: 'mean', temperature: null, standardError: null, driftPerHour: null,
    }]);
  });

  it('takes the last of several times, with the slope over the last hour', () => {
    const at = (minute: number, celsius: string) => `p,bar,4,,S4,supply,${celsius},,,,,,${minute}`;
    const { points: [{ readings }] } = parse(AIR, ...UNITS, at(90, '41'), at(0, '20'), at(120, '41.5'), at(60, '40.5'), at(150, ''));
    expect(readings).toHaveLength(1);
    expect(readings[0].temperature).toBeCloseTo(314.65, 9);
    expect(readings[0].driftPerHour).toBeCloseTo(1, 9);
  });
});

describe('what is wrong with a heat run is said', () => {
  const lines = (problems: readonly InputProblem[]) => problems.map(({ path, found, allowed }) => `${path}: ${found}; ${allowed}`).join('\n');
  it.each([
    ['a misspelt column', text(AIR).replace('temperatureC', 'temperature'), /line 1: the unknown column "temperature"; did you mean "temperatureC"/],
    ['an unknown kind', text(AIR, ...UNITS, SENSOR.replace('bar', 'bra')), /line 5, column kind: "bra"; did you mean "bar"/],
    ['a slot beyond the rack', text(AIR, ...UNITS, SENSOR.replace(',4,', ',11,')), /column slot: "11"; give a slot from 1 to 10/],
    ['an unknown unit', text(AIR, UNITS[0], UNITS[1].replace(LOAD, `${LOAD}x`)), /column equipment: .*did you mean/],
    ['units that overlap', text(AIR, ...UNITS, UNITS[0].replace(',1,', ',5,')), /units may not overlap/],
    ['a load with current and power', text(AIR, UNITS[0], UNITS[1].replace(',,,,,2.5', ',,,,50,2.5').replace(',,,,,50', ',,,,50')), /one of the two/],
    ['no inlet', text(...UNITS, SENSOR), /no inlet temperature at "p"/],
    ['no load', text(AIR, UNITS[0], SENSOR), /no load at "p"/],
    ['a decimal comma', text(AIR, ...UNITS, SENSOR.replace('41.5', '"41,5"')), /column temperatureC: "41,5"; .*decimal point/],
    ['a temperature on a load', text(AIR, UNITS[0], UNITS[1].replace(',,,,2.5', ',30,,,2.5').replace(',,,30', ',,30')), /leave it empty in a row of the kind "load"/],
    ['a sensor in two places', text(AIR, ...UNITS, SENSOR, SENSOR.replace('p,bar,4', 'q,bar,5')), /a sensor stays in one place, and line 5/],
    ['a sensor twice', text(AIR, ...UNITS, SENSOR, SENSOR), /line 5 has this sensor at this operating point and time/],
    ['standard errors for some', text(AIR, ...UNITS, SENSOR, 'p,bar,6,,S6,supply,40,,,,,,'), /with every reading, or with none/],
    ['currents of some sources', text(AIR, UNITS[0].replace(',,,,,,,,,', ',,,,50,,,,,'), UNITS[0].replace(',1,', ',8,'), UNITS[1]), /the current of every source of this operating point, or of none/],
  ])('%s', (_, csv, words) => {
    expect(lines(problemsOf(() => parseHeatRun(csv, context)))).toMatch(words);
  });

  it('all at once', () => {
    const problems = problemsOf(() => parse(SENSOR.replace('supply', 'upper'), SENSOR.replace('front-edge', 'middle').replace('S4', 'S5')));
    expect(problems.length).toBeGreaterThanOrEqual(4);
  });
});

describe('a heat run file', () => {
  const folder = mkdtempSync(join(tmpdir(), 'slotcast-heat-run-'));
  afterAll(() => rmSync(folder, { recursive: true, force: true }));
  it('whose temperatures look like Fahrenheit is warned about', () => {
    const path = join(folder, 'run.csv');
    writeFileSync(path, text(AIR.replace('25', '77'), ...UNITS, SENSOR.replace('41.5', '124'), SENSOR.replace('41.5', '120').replace('S4', 'S4b')));
    const warnings: InputProblem[] = [];
    const { input } = loadHeatRun(path, context, (warning) => warnings.push(warning));
    expect(input.sha256).toMatch(/^[0-9a-f]{64}$/);
    expect(warnings.map(({ path: where, found, allowed }) => `${where}: ${found}; ${allowed}`).join()).toMatch(/column temperatureC: 120 °C; .*120 °F would be 48.89 °C/);
  });
});
