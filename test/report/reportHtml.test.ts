import { beforeAll, describe, expect, it } from 'vitest';
import { formatNumber, kilowattDecimals } from '../../lib/figure/index.js';
import { type ReportInput, ReportInputError, reportHtml } from '../../lib/report/index.js';
import { scenarioSource } from '../../lib/draw/index.js';
import type { Replay } from '../../lib/study/index.js';
import { onlyBarTemperature, type StudiedRack, studiedRack } from '../figure/studiedRack.js';
import { ownMarkup, sectionText, tableRows, textOf } from './readReport.js';

let deep: StudiedRack;
let plain: StudiedRack;
let deepPage: string;
let plainPage: string;
const pageOf = (input: ReportInput) => [...reportHtml(input)].join('');

beforeAll(async () => {
  deep = await studiedRack('deep-bar-anywhere');
  plain = await studiedRack('plain-bar-even');
  deepPage = pageOf({ ...deep, draws: scenarioSource(deep.study).describe() });
  plainPage = pageOf(plain);
});

describe('the report file', () => {
  it('comes in pieces, stays below 6 MB and is the same each time', () => {
    const pieces = [...reportHtml(deep)];
    expect(pieces.length).toBeGreaterThan(3);
    for (const page of [deepPage, plainPage]) expect(Buffer.byteLength(page)).toBeLessThan(6e6);
    // Compared here, since a failure that prints the text would print megabytes.
    expect(pieces.join('') === pageOf(deep)).toBe(true);
  });

  it('refers to nothing outside itself', () => {
    const markup = ownMarkup(deepPage);
    expect(markup.length).toBeLessThan(5e5);
    for (const [, url] of markup.matchAll(/\b(?:src|href|action|data|poster|srcset)\s*=\s*["']?([^"'\s>]*)/gi)) {
      expect(url).toMatch(/^(#|data:,)/);
    }
    expect(markup).not.toMatch(/<link(?! rel="icon" href="data:,")|@import|url\((?!#)|<iframe|<object|<img/i);
    expect(markup.match(/https?:\/\/[^\s"]*/g)?.filter((url) => url !== 'http://www.w3.org/2000/svg') ?? []).toEqual([]);
    expect(markup).toContain("default-src 'none'");
  });

  it('holds as many script elements as it means to', () => {
    expect(deepPage.match(/<\/script>/gi)).toHaveLength(3);
    expect(deepPage.match(/<script\b[^>]*>/g)?.filter((tag) => tag === '<script>' || tag.includes('application/json'))
      .length).toBeGreaterThanOrEqual(3);
  });

  it('says its language, has one title, and headings in order', () => {
    const markup = ownMarkup(deepPage);
    expect(markup).toContain('<html lang="en">');
    expect(markup.match(/<h1>/g)).toHaveLength(1);
    const levels = [...markup.matchAll(/<h([1-6])>/g)].map(([, level]) => Number(level));
    expect(levels[0]).toBe(1);
    for (let i = 1; i < levels.length; i++) expect(levels[i] - levels[i - 1]).toBeLessThanOrEqual(1);
    const ids = [...markup.matchAll(/ id="([^"]+)"/g)].map(([, id]) => id);
    expect(new Set(ids).size).toBe(ids.length);
    for (const [, id] of markup.matchAll(/href="#([^"]+)"/g)) expect(ids).toContain(id);
  });

  it('puts its parts in order: answer, rack, method, results, worst placements, label, limits, cautions, how to reproduce', () => {
    const order = [...deepPage.matchAll(/<section id="([^"]+)">/g)].map(([, id]) => id);
    expect(order).toEqual([
      'answer', 'rack', 'method', 'percentiles', 'binding', 'classes', 'correlations', 'placements', 'lowest', 'label', 'model',
      'caution', 'reproduce',
    ]);
  });

  it('gives every figure a finding, a label and a sentence', () => {
    const figures = ownMarkup(deepPage).match(/<figure[\s\S]*?<\/figure>/g) ?? [];
    expect(figures).toHaveLength(6 + 4 * 3 + 1);
    for (const figure of figures) {
      expect(textOf(figure.match(/<figcaption>([\s\S]*?)<\/figcaption>/)?.[1] ?? '')).not.toBe('');
      expect(textOf(figure.match(/<p class="note">([\s\S]*?)<\/p>/)?.[1] ?? '')).toMatch(/\.$/);
      expect(figure).toMatch(/role="img" aria-label(ledby)?="[^"]+"/);
    }
  });
});

describe('the answer', () => {
  it('spells out each percentile with its interval in kW', () => {
    const answer = sectionText(deepPage, 'answer');
    const { percentiles, study } = deep.summary;
    for (const { percent, ratedKw, lowerKw, upperKw, note } of percentiles) {
      const carry = Number((100 - percent).toPrecision(6));
      expect(answer).toContain(`${percent} % of scenarios fall below ${ratedKw.toFixed(1)} kW, ${carry} % carry more`);
      if (lowerKw !== null && upperKw !== null) {
        expect(answer).toContain(`${study.confidencePercent} % confidence: ${lowerKw.toFixed(1)} to ${upperKw.toFixed(1)} kW`);
      } else {
        expect(answer).toContain(`no interval: ${note}`);
      }
    }
  });

  it('says that the lowest found is no proven floor and that a search is not part of a sample', () => {
    const answer = sectionText(deepPage, 'answer');
    expect(answer).toContain(`Lowest found: ${deep.summary.lowestKw.toFixed(1)} kW`);
    expect(answer).toContain('not a proven floor');
    expect(answer).toContain('are not part of a sample');
  });

  it('is followed by the cautions', () => {
    const caution = sectionText(deepPage, 'caution');
    for (const words of ['screening calculation', 'kill or burn', 'temperature-rise test', 'licensed practice']) {
      expect(caution).toContain(words);
    }
  });
});

describe('the numbers of the report', () => {
  it('equal those of the summary to the printed digit', () => {
    for (const [page, { summary }] of [[deepPage, deep], [plainPage, plain]] as const) {
      const decimals = kilowattDecimals(summary.lowestKw, summary.highestKw);
      const kw = (value: number) => formatNumber(value, decimals);
      const percentiles = tableRows(page, 'Percentiles of rated power');
      expect(percentiles).toHaveLength(summary.percentiles.length);
      summary.percentiles.forEach((row, i) => {
        expect(percentiles[i].slice(0, 5)).toEqual([
          `${row.percent} %`, `${Number((100 - row.percent).toPrecision(6))} %`, kw(row.ratedKw),
          row.lowerKw === null || row.upperKw === null ? 'none' : `${kw(row.lowerKw)} to ${kw(row.upperKw)}`, row.method,
        ]);
        expect(percentiles[i][6]).toBe(row.coveragePercent === null ? '–' : `${row.coveragePercent.toFixed(2)} %`);
        expect(percentiles[i][5]).toBe(row.lowerRank === null ? '–' : `${row.lowerRank} and ${row.upperRank}`);
      });
      expect(tableRows(page, 'One-sided tolerance bounds').map((row) => row[2])).toEqual(
        summary.toleranceBounds.map(({ boundKw, leastScenarios }) =>
          (boundKw === null ? `none: needs at least ${leastScenarios.toLocaleString('en-US')} scenarios` : kw(boundKw))));
      expect(tableRows(page, 'What binds').map(([, count]) => Number(count.replace(',', ''))))
        .toEqual(summary.limits.map(({ count }) => count));
      expect(tableRows(page, 'Rated power by class of placement').map((row) => row.slice(3)))
        .toEqual([...summary.classes].reverse().map((row) => [row.lowestKw, row.medianKw, row.highestKw].map(kw)));
      expect(tableRows(page, 'Lowest placements found').map((row) => row.slice(1, 4)))
        .toEqual(summary.worst.map((row) => [String(row.index), kw(row.ratedKw), row.picture]));
      expect(tableRows(page, 'Input files')).toEqual(summary.inputs.map(({ path, sha256 }) => [path, sha256]));
    }
  });

  it('include a bound that the sample is too small for, with the number of scenarios that suffices', () => {
    expect(deep.summary.toleranceBounds.some(({ boundKw }) => boundKw === null)).toBe(true);
    expect(deep.summary.toleranceBounds.some(({ boundKw }) => boundKw !== null)).toBe(true);
  });

  it('are told with seed, version, node version and command', () => {
    const { summary } = deep;
    const text = sectionText(deepPage, 'reproduce');
    for (const words of [summary.study.seed, `slotcast ${summary.library.version}`, summary.library.node,
      'slotcast study deep-bar-anywhere.json']) expect(text).toContain(words);
  });

  it('say the rack with its mass, limits, states and inlet', () => {
    const text = sectionText(plainPage, 'rack') + sectionText(plainPage, 'model');
    for (const words of [`${plain.summary.rack.copperKg.toFixed(1)} kg`, 'bar rise 30 K above the local air',
      'batteries alone', 'inlet 25 °C', 'one-dimensional', 'Rated powers are steady ones', '150 published values']) {
      expect(text).toContain(words);
    }
  });

  it('say what was drawn where that is given', () => {
    for (const line of scenarioSource(deep.study).describe()) expect(sectionText(deepPage, 'rack')).toContain(line);
    expect(sectionText(plainPage, 'rack')).not.toContain('What was drawn');
  });
});

describe('the operating state that binds', () => {
  it('is told in words in the answer, the table and beside the pictures', () => {
    const { worst } = plain.summary;
    expect(worst.some(({ state }) => state !== 'all-in-service')).toBe(true);
    tableRows(plainPage, 'Lowest placements found').forEach((row, i) => {
      const { state, outSlot } = worst[i];
      const words = state === 'one-source-out' ? `source at slot ${outSlot} out` : 'batteries alone';
      if (state === 'all-in-service') expect(row[4]).not.toContain('state:');
      else expect(row[4]).toContain(`(state: ${words})`);
    });
    const { rule } = plain.worst.rated.state;
    if (rule !== 'all-in-service') expect(sectionText(plainPage, 'placements')).toContain('show the operating state “');
  });
});

describe('names from files', () => {
  const hostile = '</script><script>alert(1)</script><img src="https://example.org/x" onerror=\'alert(2)\'>&amp;🔌\u202eלוח\u2028\u0000';

  function hostileInput(): ReportInput {
    const { summary } = deep;
    const section = { ...deep.rack.supply.sections[0] };
    const material = { ...section.material, id: hostile, source: hostile };
    const pole = { ...deep.rack.supply, sections: [{ ...section, material }] };
    const renamed = (replay: Replay): Replay => ({
      ...replay,
      scenario: { ...replay.scenario, units: replay.scenario.units.map((unit) => ({ ...unit, equipment: hostile })) },
    });
    return {
      ...deep,
      summary: {
        ...summary,
        study: { ...summary.study, name: hostile, seed: hostile, sampling: hostile, stopping: hostile },
        rack: { ...summary.rack, name: hostile },
        inputs: summary.inputs.map(({ sha256 }) => ({ path: hostile, sha256 })),
        classes: summary.classes.map((row) => ({ ...row, placementClass: hostile })),
        worst: summary.worst.map((row) => ({ ...row, picture: hostile })),
        percentiles: summary.percentiles.map((row) => ({ ...row, note: hostile })),
      },
      rack: { ...deep.rack, name: hostile, supply: pole },
      lowest: deep.lowest.map((one) => ({ heading: hostile, replay: renamed(one.replay), explanation: hostile })),
      median: renamed(deep.median),
      draws: [hostile],
    };
  }

  it('are shown as text, wherever they stand', () => {
    const page = pageOf(hostileInput());
    const markup = ownMarkup(page);
    expect(page.match(/<\/script>/gi)).toHaveLength(3);
    expect(markup).not.toMatch(/<img|<script>alert/i);
    expect(page.includes('\u0000')).toBe(false);
    const shown = hostile.replace('\u0000', '\ufffd').replace(/\s+/g, ' ');
    expect(textOf(markup.match(/<h1>([\s\S]*?)<\/h1>/)?.[1] ?? '')).toBe(shown.trim());
    for (const id of ['percentiles', 'classes', 'placements', 'lowest', 'rack', 'reproduce']) {
      expect(sectionText(page, id)).toContain(shown.replace(/ $/, ''));
    }
  });

  it('are kept from turning their neighbours round', () => {
    expect(ownMarkup(pageOf(hostileInput()))).toMatch(/<h1><bdi>/);
  });

  it('cannot leave the data of the figures', () => {
    const data = pageOf(hostileInput()).match(/<script type="application\/json" id="figures">([\s\S]*?)<\/script>/)?.[1] ?? '';
    expect(data).not.toMatch(/[<\u2028\u2029]/);
    const ids = (JSON.parse(data) as { id: string }[]).map(({ id }) => id);
    expect(ids).toHaveLength(6 + 4 * 2 + 1);
  });

  it('are quoted in the command to run', () => {
    const { summary } = deep;
    const inputs = [{ path: "it's mine; rm x.json", sha256: 'ab' }];
    const page = pageOf({ ...deep, summary: { ...summary, inputs } });
    expect(sectionText(page, 'reproduce')).toContain(`slotcast study 'it'\\''s mine; rm x.json'`);
  });
});

describe('a report of unusual results', () => {
  it('reads sensibly where nothing is carried at all', async () => {
    const none = await studiedRack('plain-bar-even', (study) => ({ ...onlyBarTemperature(study, 290), scenarios: 60 }));
    const page = pageOf(none);
    const text = textOf(ownMarkup(page));
    expect(text).toContain('carry no load at all (rated power 0 kW)');
    expect(sectionText(page, 'placements')).toContain('carries no load at all: bar temperature');
    expect(sectionText(page, 'placements')).toContain('The pictures show a total load of 1 W');
    expect(text).not.toMatch(/NaN|Infinity|undefined|fall below 0/);
  });

  it('shows a sentence instead of a figure where a state has no solution', () => {
    const { rated } = deep.worst;
    for (const [status, words] of [['voltage-collapse', 'the voltage collapses'], ['no-steady-state', 'no steady temperature']] as const) {
      const replay: Replay = {
        ...deep.worst, rated: { ...rated, limit: status, slot: 0, pole: 'both' },
        solutions: [{ status, state: rated.state, power: rated.power }],
      };
      const page = pageOf({ ...deep, lowest: [{ ...deep.lowest[0], replay }] });
      expect(sectionText(page, 'placements')).toContain(words);
      expect(ownMarkup(page)).not.toContain('id="chart-lowest-1-temperature"');
      expect(ownMarkup(page)).toContain('id="chart-median-temperature"');
    }
  });

  it('says at which power a collapse is drawn', async () => {
    const unlimited = await studiedRack('plain-bar-even', (study) => ({
      ...onlyBarTemperature(study, Number.POSITIVE_INFINITY), scenarios: 40,
    }));
    expect(['voltage-collapse', 'no-steady-state']).toContain(unlimited.worst.rated.limit);
    expect(sectionText(pageOf(unlimited), 'placements')).toContain('a ten-thousandth below the rated power');
  });

  it('puts scenarios not rated before the reader twice, with indices to replay', () => {
    const { summary } = deep;
    const notRated = {
      count: 23, sharePercent: 5.75, indices: [3, 17, 41], reasons: ['no load', 'no feed', 'no end'], mostPercent: 1, isTooMany: true,
    };
    const page = pageOf({ ...deep, summary: { ...summary, notRated } });
    expect(sectionText(page, 'answer')).toContain('23 of 400 scenarios could not be rated');
    expect(sectionText(page, 'not-rated')).toContain('scenario 17: no feed');
    expect(sectionText(page, 'not-rated')).toContain('The first 3 are shown and 20 more, in the scenario table');
    expect(sectionText(page, 'not-rated')).toContain('The study has failed: it allows 1');
  });

  it('names the method of replicates and does without ranks for Latin hypercubes', async () => {
    const hypercube = await studiedRack('deep-bar-inventory', (study) => ({
      ...study, scenarios: 600, sampling: { design: 'latin-hypercube', size: 200 },
    }));
    const page = pageOf(hypercube);
    const rows = tableRows(page, 'Percentiles of rated power');
    expect(rows.some((row) => row[4] === 'independent replicates' && /^\d+ and \d+$/.test(row[5]) && row[6] === '–')).toBe(true);
    expect(page).not.toContain('come from the ordered rated powers and assume');
    expect(page).toContain('Woodruff 1952');
    for (const row of tableRows(page, 'One-sided tolerance bounds')) expect(row[2]).toContain('needs independent scenarios');
  });

  it('says what stops a placement that a contact limits, though the bar beside it is cool', async () => {
    const hot = await studiedRack('deep-bar-anywhere', (study) => ({
      ...study, scenarios: 60,
      rack: { ...study.rack, limits: { ...study.rack.limits, contactTemperature: 320 } },
    }));
    expect(hot.worst.rated.limit).toBe('contact-temperature');
    expect(sectionText(pageOf(hot), 'placements')).toMatch(/carries \d+ A and reaches 46\.9 °C at a limit of 46\.9 °C; the bar/);
  });
});

describe('parts that do not belong together', () => {
  it('are refused before anything is written, saying what was found', () => {
    const { summary } = deep;
    const refused = (change: Partial<ReportInput>, message: RegExp) => {
      expect(() => reportHtml({ ...deep, ...change })).toThrow(ReportInputError);
      expect(() => reportHtml({ ...deep, ...change })).toThrow(message);
    };
    refused({ lowest: [{ ...deep.lowest[0], replay: deep.median }] }, /^lowest\[0\]: found scenario/);
    refused({ lowest: [] }, /^lowest\[0\]: found nothing/);
    refused({ median: deep.worst }, /^median: found scenario/);
    refused({ rack: plain.rack }, /^rack: found "Plain bar/);
    const { sample } = deep;
    const powers = Array.from(sample.ratedPower);
    refused({ sample: { ...sample, ratedPower: powers.slice(1), limit: sample.limit.slice(1) } },
      /^sample: found 399 scenarios; give the 400/);
    refused({ sample: { ...sample, limit: [null, ...sample.limit.slice(1)] } }, /^sample: found 399 rated powers/);
    refused({ sample: { ...sample, ratedPower: powers.map((watts) => watts / 1e3) } }, /as the lowest rated power/);
    refused({ summary: { ...summary, median: { ...summary.median, ratedKw: 1 } } }, /^median/);
  });
});
