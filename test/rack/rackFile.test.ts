import { describe, expect, it } from 'vitest';
import { parseRack } from '../../lib/rack/index.js';
import { ABSENT, applied, type BadCase, changed, expectOne, problemsOf, RACK } from './fixtures.js';

const section = (fromSlot: number, toSlot: number) => ({
  fromSlot,
  toSlot,
  material: 'copper-iacs-100',
  plates: { count: 1, depthMm: 100, thicknessMm: 5 },
  emissivity: 0.4,
});
const SECTIONS = 'poles.both.sections';
const PLATES = `${SECTIONS}[0].plates`;
const MATERIAL = {
  resistivityNanoOhmM: 20,
  temperatureCoefficientPerK: 0.004,
  thermalConductivityWPerMK: 300,
  densityKgPerM3: 8800,
  specificHeatJPerKgK: 380,
  source: 'invented for this test',
};

describe('a sound rack file', () => {
  it('is read in SI: millimetres, micro-ohms and degrees Celsius to metres, ohms and kelvin', () => {
    const rack = parseRack(applied(RACK, [
      [SECTIONS, [section(1, 4), { ...section(5, 10), plates: { count: 2, depthMm: 80, thicknessMm: 5, gapMm: 7 } }]],
      ['poles.both.joints', [{ aboveSlot: 4, microOhm: 1.5 }]],
      ['air', { inletC: 25, exhaustRiseKPerKw: 0.5, surroundingsC: 20, altitudeM: 300 }],
      ['limits', { barC: 90, contactC: 105, lowestLoadV: 46 }],
    ]));
    expect(rack.pitch).toBe(0.05);
    expect(rack.supply.sections[1].plates).toEqual({ count: 2, depth: 0.08, thickness: 0.005, gap: 0.007 });
    expect(rack.supply.sections[0].plates.gap).toBe(0);
    expect(rack.supply.joints).toEqual([{ aboveSlot: 4, resistance: 1.5e-6 }]);
    expect(rack.air).toEqual({
      inlet: 298.15, profile: Array(10).fill(0), exhaustRise: 0.0005, altitude: 300, surroundings: 293.15,
    });
    expect(rack.limits).toEqual({
      barRise: Number.POSITIVE_INFINITY,
      barTemperature: 363.15,
      contactTemperature: 378.15,
      loadContactCurrent: Number.POSITIVE_INFINITY,
      lowestLoadVoltage: 46,
    });
  });

  it('has no lowest load voltage unless one is set', () => {
    expect(parseRack(RACK).limits.lowestLoadVoltage).toBe(Number.NEGATIVE_INFINITY);
  });

  it('uses one film for outer faces and edges, and a channel between facing plates', () => {
    expect(parseRack(changed(RACK, 'film', { model: 'moving-air', speedMPerS: 2, factor: 1.1 })).films).toEqual({
      outerFaces: { model: 'moving-air', speed: 2 },
      edges: { model: 'moving-air', speed: 2 },
      facingFaces: { model: 'channel' },
      factor: 1.1,
    });
  });

  it('takes each face its own film where they are given one by one', () => {
    const films = parseRack(applied(RACK, [
      [PLATES, { count: 2, depthMm: 100, thicknessMm: 5, gapMm: 5 }],
      ['film', {
        outerFaces: { model: 'handbook' },
        edges: { model: 'still-air' },
        facingFaces: { model: 'fixed', coefficientWPerM2K: 2 },
      }],
    ])).films;
    expect(films).toEqual({
      outerFaces: { model: 'handbook' },
      edges: { model: 'still-air' },
      facingFaces: { model: 'fixed', coefficient: 2 },
      factor: 1,
    });
  });

  it('draws the air profile straight between its points and flat beyond them', () => {
    const points = [{ slot: 3, riseK: 1 }, { slot: 7, riseK: 5 }];
    expect(parseRack(changed(RACK, 'air.profileK', points)).air.profile).toEqual([1, 1, 1, 2, 3, 4, 5, 5, 5, 5]);
  });

  it('sorts sections and joints from bottom to top', () => {
    const rack = parseRack(applied(RACK, [
      [SECTIONS, [section(6, 10), section(1, 5)]],
      ['poles.both.joints', [{ aboveSlot: 5, microOhm: 1 }, { aboveSlot: 2, microOhm: 2 }]],
    ]));
    expect(rack.supply.sections.map(({ fromSlot }) => fromSlot)).toEqual([1, 6]);
    expect(rack.supply.joints.map(({ aboveSlot }) => aboveSlot)).toEqual([2, 5]);
  });

  it('may have unlike poles and materials of its own', () => {
    const rack = parseRack(applied(RACK, [
      ['materials', { 'my-bronze': MATERIAL }],
      ['poles', {
        supply: { sections: [{ ...section(1, 10), material: 'my-bronze', openFaces: 1 }] },
        return: { sections: [section(1, 10)] },
      }],
    ]));
    expect(rack.supply.sections[0]).toMatchObject({
      openFaces: 1, material: { id: 'my-bronze', resistivity20: 20e-9 },
    });
    expect(rack.return.sections[0]).toMatchObject({ openFaces: 2, material: { id: 'copper-iacs-100' } });
  });
});

const BAD: BadCase[] = [
  {
    says: 'a key is misspelt: the nearest one is suggested, and it is not called missing as well',
    change: [[`${PLATES}.depthMm`, ABSENT], [`${PLATES}.depthmm`, 100]],
    path: `${PLATES}.depthmm`, found: 'the unknown key "depthmm"',
    allowed: 'did you mean "depthMm"? the keys allowed here are count, depthMm, thicknessMm, gapMm',
  },
  {
    says: 'a key lacks its unit',
    change: [['air.inletC', ABSENT], ['air.inlet', 25]],
    path: 'air.inlet', found: 'the unknown key "inlet"', allowed: /^did you mean "inletC"\?/,
  },
  {
    says: 'a key lacks a long unit',
    change: [['air.exhaustRise', 0.4]],
    path: 'air.exhaustRise', found: 'the unknown key "exhaustRise"', allowed: /^did you mean "exhaustRiseKPerKw"\?/,
  },
  {
    says: 'a key is unknown and nothing is near it',
    change: [['colour', 'red']],
    path: 'colour', found: 'the unknown key "colour"', allowed: /^the keys allowed here are \$schema, format, name/,
  },
  {
    says: 'the file is of another format',
    change: [['format', 'slotcast-study/1'], ['slots', ABSENT]],
    path: 'format', found: '"slotcast-study/1"', allowed: 'write "slotcast-rack/1": a rack file is expected here',
  },
  {
    says: 'a number is text',
    change: [['slots.pitchMm', '50']],
    path: 'slots.pitchMm', found: '"50"', allowed: /^give a number above 0 \(height of one slot, mm/,
  },
  {
    says: 'a count is not whole',
    change: [['slots.count', 10.5]],
    path: 'slots.count', found: '10.5', allowed: 'give a whole number from 1 to 500 (number of slots)',
  },
  {
    says: 'a number is a giant that would overflow',
    change: [['slots.pitchMm', 1e300]],
    path: 'slots.pitchMm', found: '1e+300', allowed: /^give a number between 1e-12 and 1000000000000 in size/,
  },
  {
    says: 'a number is so small that its square is zero',
    change: [[`${PLATES}.depthMm`, 1e-300]],
    path: `${PLATES}.depthMm`, found: '1e-300', allowed: /^give a number between 1e-12 and 1000000000000 in size/,
  },
  {
    says: 'a number is not finite',
    change: [['air.inletC', Number.NaN]],
    path: 'air.inletC', found: 'NaN', allowed: /^give a number above -273.15/,
  },
  {
    says: 'a key is missing',
    change: [['film', ABSENT]],
    path: 'film', found: 'nothing', allowed: /^give \{"model": …\}, or/,
  },
  {
    says: 'a film model is misspelt',
    change: [['film', { model: 'stil-air' }]],
    path: 'film.model', found: '"stil-air"', allowed: /^did you mean "still-air"\? give one of "still-air", "slender-still-air"/,
  },
  {
    says: 'the key of the film model is misspelt',
    change: [['film', { modle: 'still-air' }]],
    path: 'film.model', found: 'nothing', allowed: /^did you mean "model" where you wrote "modle"\? give one of/,
  },
  {
    says: 'a film face is misspelt',
    change: [['film', { outerFace: { model: 'handbook' }, edges: { model: 'handbook' } }]],
    path: 'film.outerFace', found: 'the unknown key "outerFace"', allowed: /^did you mean "outerFaces"\?/,
  },
  {
    says: 'moving air has no speed',
    change: [['film', { model: 'moving-air' }]],
    path: 'film.speedMPerS', found: 'nothing', allowed: /^give a number above 0 up to 100 \(air speed/,
  },
  {
    says: 'a fixed film has no coefficient',
    change: [['film', { model: 'fixed' }]],
    path: 'film.coefficientWPerM2K', found: 'nothing', allowed: /W\/\(m²·K\)/,
  },
  {
    says: 'a film factor is zero',
    change: [['film', { model: 'still-air', factor: 0 }]],
    path: 'film.factor', found: '0', allowed: /^give a number above 0/,
  },
  {
    says: 'a film face is missing',
    change: [['film', { outerFaces: { model: 'handbook' } }]],
    path: 'film.edges', found: 'nothing', allowed: /"still-air", "slender-still-air", "handbook", "moving-air", "fixed"/,
  },
  {
    says: 'facing faces have a film though every section has one plate',
    change: [['film', {
      outerFaces: { model: 'handbook' }, edges: { model: 'handbook' }, facingFaces: { model: 'channel' },
    }]],
    path: 'film.facingFaces', found: '"channel", with one plate in every section', allowed: /leave "facingFaces" out/,
  },
  {
    says: 'facing faces have no film though films are given face by face',
    change: [
      ['film', { outerFaces: { model: 'handbook' }, edges: { model: 'handbook' } }],
      [PLATES, { count: 2, depthMm: 100, thicknessMm: 5, gapMm: 5 }],
    ],
    path: 'film.facingFaces', found: 'nothing, with sections of several plates', allowed: /"channel"/,
  },
  {
    says: 'several plates have no gap',
    change: [[`${PLATES}.count`, 2]],
    path: `${PLATES}.gapMm`, found: 'nothing, with 2 plates', allowed: /clear distance .* in mm/,
  },
  {
    says: 'one plate has a gap',
    change: [[`${PLATES}.gapMm`, 5]],
    path: `${PLATES}.gapMm`, found: '5, with one plate', allowed: /leave "gapMm" out/,
  },
  {
    says: 'sections overlap',
    change: [[SECTIONS, [section(1, 6), section(5, 10)]]],
    path: `${SECTIONS}[1]`, found: 'slots 5 to 10',
    allowed: 'sections may not overlap, and sections[0] covers slots 1 to 6',
  },
  {
    says: 'sections leave a slot bare',
    change: [[SECTIONS, [section(1, 4), section(6, 10)]]],
    path: SECTIONS, found: 'no section for slot 5', allowed: 'the sections together must cover slots 1 to 10',
  },
  {
    says: 'a section passes the top of the rack',
    change: [[SECTIONS, [section(1, 11)]]],
    path: `${SECTIONS}[0].toSlot`, found: '11', allowed: 'give at most 10, the number of slots of the rack',
  },
  {
    says: 'a section is upside down',
    change: [[SECTIONS, [section(5, 4)]]],
    path: `${SECTIONS}[0].toSlot`, found: '4', allowed: 'give a slot from "fromSlot" (5) upwards',
  },
  {
    says: 'a joint lies above the highest slot',
    change: [['poles.both.joints', [{ aboveSlot: 10, microOhm: 1 }]]],
    path: 'poles.both.joints[0].aboveSlot', found: '10', allowed: /^give 1 to 9/,
  },
  {
    says: 'two joints share a place',
    change: [['poles.both.joints', [{ aboveSlot: 3, microOhm: 1 }, { aboveSlot: 3, microOhm: 1 }]]],
    path: 'poles.both.joints[1].aboveSlot', found: '3, as in joints[0]', allowed: /the sum of the resistances/,
  },
  {
    says: 'a joint resistance is negative',
    change: [['poles.both.joints', [{ aboveSlot: 3, microOhm: -1 }]]],
    path: 'poles.both.joints[0].microOhm', found: '-1',
    allowed: 'give a number of at least 0 (resistance of the joint, µΩ)',
  },
  {
    says: 'a joint has no resistance',
    change: [['poles.both.joints', [{ aboveSlot: 3 }]]],
    path: 'poles.both.joints[0].microOhm', found: 'nothing', allowed: /µΩ/,
  },
  {
    says: 'only one pole is given',
    change: [['poles', { supply: { sections: [section(1, 10)] } }]],
    path: 'poles.return', found: 'nothing', allowed: /^give an object with sections, joints \(return pole\)/,
  },
  {
    says: 'a material is unknown',
    change: [[`${SECTIONS}[0].material`, 'copper-iacs-10']],
    path: `${SECTIONS}[0].material`, found: '"copper-iacs-10"',
    allowed: /^did you mean "copper-iacs-100"\? .*"materials"/,
  },
  {
    says: 'a material of the file has no source',
    change: [['materials', { mine: { ...MATERIAL, source: ' ' } }]],
    path: 'materials.mine.source', found: '" "', allowed: /where the figures come from/,
  },
  {
    says: 'a material of the file has a resistivity of zero',
    change: [['materials', { mine: { ...MATERIAL, resistivityNanoOhmM: 0 } }]],
    path: 'materials.mine.resistivityNanoOhmM', found: '0',
    allowed: /^give a number above 0 \(resistivity at 20 °C, nΩ·m/,
  },
  {
    says: 'a material of the file takes a built-in name',
    change: [['materials', { 'copper-56': MATERIAL }]],
    path: 'materials.copper-56', found: 'the name of a built-in material', allowed: /another name/,
  },
  {
    says: 'a material name cannot be a name',
    change: [['materials', { 'my copper': MATERIAL }]],
    path: 'materials["my copper"]', found: 'the key "my copper"', allowed: /^give a name of up to 60 letters/,
  },
  {
    says: 'the profile passes the top of the rack',
    change: [['air.profileK', [{ slot: 1, riseK: 0 }, { slot: 11, riseK: 2 }]]],
    path: 'air.profileK[1].slot', found: '11', allowed: /^give at most 10/,
  },
  {
    says: 'the profile goes down',
    change: [['air.profileK', [{ slot: 5, riseK: 0 }, { slot: 5, riseK: 2 }]]],
    path: 'air.profileK[1].slot', found: '5', allowed: /rising order/,
  },
  {
    says: 'there is no limit',
    change: [['limits', {}]],
    path: 'limits', found: 'no limit', allowed: /^give at least one of barRiseK, barC/,
  },
  {
    says: 'a limit lies below the inlet',
    change: [['limits', { contactC: 20 }]],
    path: 'limits.contactC', found: '20', allowed: 'give a temperature above the inlet\'s 25 °C, in °C',
  },
  {
    says: 'the lowest load voltage is not below the set voltage',
    change: [['limits', { lowestLoadV: 50 }]],
    path: 'limits.lowestLoadV', found: '50', allowed: 'give a voltage below the set voltage of 50 V',
  },
  {
    says: 'there is no operating state',
    change: [['operatingStates', []]],
    path: 'operatingStates', found: 'an empty list', allowed: /^give a list of at least 1/,
  },
  {
    says: 'an operating state is named twice',
    change: [['operatingStates', ['all-in-service', 'all-in-service']]],
    path: 'operatingStates[1]', found: '"all-in-service" a second time', allowed: 'name each operating state once',
  },
  {
    says: 'a word is not one of those offered',
    change: [['feed.sharing', 'drop']],
    path: 'feed.sharing', found: '"drop"', allowed: /^did you mean "droop"\? give one of "equal", "droop"/,
  },
  {
    says: 'open faces are more than there are',
    change: [[`${SECTIONS}[0].openFaces`, 3]],
    path: `${SECTIONS}[0].openFaces`, found: '3', allowed: /^give 0, 1 or 2/,
  },
  {
    says: 'an object handed over in code has a prototype key',
    change: [['materials', JSON.parse('{"__proto__": {}}')]],
    path: 'materials.__proto__', found: 'the key "__proto__"', allowed: /remove it/,
  },
];

describe('a rack file is refused with exactly one message where', () => {
  for (const { says, change, ...expected } of BAD) {
    it(says, () => {
      expectOne(problemsOf(() => parseRack(applied(RACK, change), 'my-rack.json')), 'my-rack.json', expected);
    });
  }

  for (const [json, found] of [[null, 'null'], [5, '5'], ['x', '"x"'], [[], 'an empty list'], [undefined, 'nothing']]) {
    it(`the whole file is ${found}`, () => {
      expectOne(problemsOf(() => parseRack(json, 'my-rack.json')), 'my-rack.json', {
        path: '', found: String(found), allowed: /^give an object \{…\} with "format": "slotcast-rack\/1"/,
      });
    });
  }
});

describe('a rack file with several mistakes', () => {
  it('reports those of the schema and those beyond it at once', () => {
    const problems = problemsOf(() => parseRack(applied(RACK, [
      ['slots.pitchMm', 50],
      ['feed.setV', -1],
      [`${PLATES}.count`, 2],
      ['poles.both.joints', [{ aboveSlot: 12, microOhm: 1 }]],
      ['limits', {}],
    ])));
    expect(problems.map(({ path }) => path).sort()).toEqual(
      ['feed.setV', 'limits', 'poles.both.joints[0].aboveSlot', `${PLATES}.gapMm`].sort());
  });

  it('puts file, path, what was found and what is allowed on one line', () => {
    expect(() => parseRack(changed(RACK, 'slots.count', 0), 'a.json')).toThrow(
      'a.json: slots.count: found 0; give a whole number from 1 to 500 (number of slots)');
  });
});
