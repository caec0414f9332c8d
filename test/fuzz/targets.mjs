/** What is fuzzed: each reader of files, and the command line. A target throws where something is wrong with the library. */
import { createRequire } from 'node:module';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

const require = createRequire(import.meta.url);
const slotcast = require('../../dist/index.js');
const { readStrictJson } = require('../../dist/rack/text/strictJson.js');
const { ProblemLog } = require('../../dist/rack/text/problemLog.js');
const { runCommandLine } = require('../../dist/cli/program.js');

const demo = (name) => readFileSync(new URL(`../../data-demo/${name}`, import.meta.url), 'utf8');
const rack = slotcast.parseRack(JSON.parse(demo('deep-bar.json')));
const catalogue = slotcast.parseCatalogue(JSON.parse(demo('equipment.json')));
const inventories = { 'inventory.csv': slotcast.parseInventory(demo('inventory.csv')) };
const measurements = { 'contacts.csv': { contactMicroOhm: slotcast.parseMeasurements(demo('contacts.csv'), 'contactMicroOhm') } };

/** Words of an error that speak of the program instead of the input. */
const PROGRAM_WORDS = /\bundefined\b|\[object|\bNaN\b|TypeError|Cannot read|is not a function|\bzod\b|null prototype/;

/** Runs a reader: it gives a sound value or an InputError that people can read. @returns whether it took the input */
function read(reader, input) {
  let value;
  try {
    value = reader(input);
  } catch (error) {
    if (!(error instanceof slotcast.InputError)) throw error;
    if (error.problems.length === 0) throw new Error('an InputError without a problem');
    for (const problem of error.problems) {
      if (problem.found === '' || problem.allowed === '') throw new Error(`a problem without words: ${JSON.stringify(problem)}`);
      if (PROGRAM_WORDS.test(problem.allowed)) throw new Error(`words of the program: ${problem.allowed}`);
    }
    return false;
  }
  checkNumbers(value, '');
  return true;
}

function checkNumbers(value, path) {
  if (typeof value === 'number' && Number.isNaN(value)) throw new Error(`not a number at ${path}`);
  if (typeof value !== 'object' || value === null) return;
  for (const key of Object.keys(value)) checkNumbers(value[key], `${path}.${key}`);
}

/** JSON text to an object handed to `parse`, which must not change it. */
function fromJson(parse) {
  return (text) => {
    const log = new ProblemLog('fuzzed');
    const json = readStrictJson(text, log);
    if (json === undefined && log.isEmpty) throw new Error('neither a value nor a problem');
    if (!log.isEmpty) throw new slotcast.InputError(log.problems);
    const before = JSON.stringify(json);
    let outcome;
    try {
      outcome = { value: parse(json) };
    } catch (error) {
      outcome = { error };
    }
    if (JSON.stringify(json) !== before) throw new Error('the input was changed');
    if ('error' in outcome) throw outcome.error;
    return outcome.value;
  };
}

const wordsOf = (schema) => [...new Set([...JSON.stringify(schema).matchAll(/"([A-Za-z-]{2,40})"/g)].map((match) => match[1]))];
const schemas = slotcast.jsonSchemas();

const parseStudy = (json) => slotcast.parseStudy(json, { rack, catalogue, inventories, measurements });

export const TARGETS = {
  rack: { seeds: [demo('deep-bar.json'), demo('plain-bar.json')], words: wordsOf(schemas.rack), run: (text) => read(fromJson((json) => slotcast.parseRack(json)), text) },
  catalogue: { seeds: [demo('equipment.json')], words: wordsOf(schemas.catalogue), run: (text) => read(fromJson((json) => slotcast.parseCatalogue(json)), text) },
  study: {
    seeds: [demo('deep-bar-anywhere.json'), demo('deep-bar-inventory.json'), demo('plain-bar-even.json')],
    words: wordsOf(schemas.study),
    run: (text) => {
      const taken = read(fromJson(parseStudy), text);
      // What was accepted can be drawn, or says why not.
      if (taken) drawOne(parseStudy(JSON.parse(text)));
      return taken;
    },
  },
  copper: {
    seeds: [demo('deep-bar-copper.json')],
    words: wordsOf(schemas.copper),
    run: (text) => {
      const study = parseStudy(JSON.parse(demo('deep-bar-anywhere.json')));
      const taken = read(fromJson((json) => slotcast.parseCopper(json, study)), text);
      // What was accepted makes bars, or says why not.
      if (taken) read((json) => slotcast.copperDesigns(study, slotcast.parseCopper(JSON.parse(json), study).designs), text);
      return taken;
    },
  },
  inventory: { seeds: [demo('inventory.csv').slice(0, 2000)], words: ['rack', 'bottomSlot', 'heightSlots', 'equipment', 'powerKw', '"', '1.5'], run: (text) => read((csv) => slotcast.parseInventory(csv), text) },
  measurements: {
    seeds: [demo('contacts.csv')], words: ['contactMicroOhm', '"', ',', '12.5', '1e3'],
    run: (text) => read((csv) => slotcast.parseMeasurements(csv, 'contactMicroOhm'), text),
  },
  'heat run': {
    seeds: [demo('heat-run.csv').slice(0, 3000)], words: ['point', 'kind', 'air', 'bar', 'load', 'source', 'front-edge', 'supply', 'timeMin', 'currentA', '"', ',', '12.5', '1e3', 'node-1'],
    run: (text) => read((csv) => slotcast.parseHeatRun(csv, { rack, catalogue }), text),
  },
  'command line': {
    seeds: [
      'check\ndata-demo/deep-bar-anywhere.json', 'bar\n--depth-mm\n100\n--thickness-mm\n10\n--rise-k\n30', 'replay\ndata-demo/plain-bar-even.json\n3\n--json',
      'check\ndata-demo/deep-bar.json\n--json', '--help', 'study\ndata-demo/plain-bar-even.json\n--scenarios\n3\n--workers\n1\n--quiet', 'bar\n--depth-mm\n50\n--thickness-mm\n5\n--current-a\n800\n--plates\n2\n--gap-mm\n5',
      'rare\ndata-demo/plain-bar-even.json\n--below-kw\n50\n--population\n50\n--moves\n1\n--replicates\n2', 'merge\nnothing\n--study\ndata-demo/plain-bar-even.json', 'report\nnowhere', 'fit\ndata-demo/deep-bar-anywhere.json\n--heat-run\ndata-demo/heat-run.csv\n--fit\nfilmFactor,emissivity\n--json',
    ],
    words: ['--json', '--seed', '--part', '1/2', '--table', 'none', '--film', 'moving-air', '--speed-m-per-s', '--run', 'vertical', '--altitude-m', '--replace', '--plates', '--emissivity', '-1', '1e9', '\n'],
    run: commandLine,
  },
};

function drawOne(study) {
  try {
    slotcast.scenarioSource({ ...study, scenarios: 1 }).draw(0);
  } catch (error) {
    const isNamed = ['ImpossibleRules', 'InputError', 'PlacementNotFound', 'TooManyStates'].includes(error.name);
    if (!isNamed) throw error;
  }
}

/** Options and words that would take minutes, or write where it is not wanted, are left out. */
const TOO_LONG = /^(worst|label|copper|sensitivity)$/;
const LARGE = /^\d{5,}$|^\d+e\d+$/i;

async function commandLine(text) {
  const words = text.split('\n').filter((word) => !word.includes('\0'));
  if (words.some((word) => TOO_LONG.test(word)) || (words.some((word) => LARGE.test(word)) && /^(study|rare|merge|label)/m.test(text))) return false;
  const folder = mkdtempSync(join(tmpdir(), 'slotcast-fuzz-'));
  const said = { out: '', err: '' };
  const add = (to) => (line) => { said[to] += `${line}\n`; };
  try {
    const argv = words[0] === 'study' || words[0] === 'merge' ? [...words.filter((word) => !word.startsWith('--out')), '--out', folder] : words;
    const code = await runCommandLine(argv, { out: add('out'), err: add('err') });
    if (![0, 1, 2, 3].includes(code)) throw new Error(`exit code ${code}`);
    if (code !== 0 && said.err.trim() === '' && said.out.trim() === '') throw new Error(`exit code ${code} without a word`);
    if (/undefined|\[object|\bNaN\b|TypeError|Cannot read/.test(said.out + said.err)) throw new Error(`words of the program: ${said.out.slice(0, 300)}${said.err.slice(0, 300)}`);
    return code === 0;
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** A file that holds what broke a target. */
export function keepFinding(folder, target, text, error) {
  const name = join(folder, `${target.replace(/\W+/g, '-')}-${Date.now()}.txt`);
  writeFileSync(name, text);
  return `${name}: ${error.stack ?? error}`;
}
