/**
 * Coverage-guided fuzzing of every reader of files and of the command line, on the built library.
 *
 *   node test/fuzz/fuzz.mjs [--seconds 60] [--seed 1] [TARGET…]
 *
 * Inputs that reach code which no input before has reached are kept in test/fuzz/corpus and start the next run. Exits 1
 * where an input breaks something; the input is then in results/fuzz.
 */
import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { Coverage } from './coverage.mjs';
import { mutated, numbersFrom } from './mutate.mjs';
import { keepFinding, TARGETS } from './targets.mjs';

/** Longest time for one input, ms: readers answer at once, commands may have something to compute. */
const PATIENCE = { readers: 5000, 'command line': 60_000 };
const LONGEST = 60_000;

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: { seconds: { type: 'string', default: '60' }, seed: { type: 'string', default: '1' }, keep: { type: 'boolean', default: false } },
});
const chosen = positionals.length > 0 ? positionals : Object.keys(TARGETS);
const unknown = chosen.find((name) => !(name in TARGETS));
if (unknown !== undefined) throw new RangeError(`target "${unknown}": there are ${Object.keys(TARGETS).join(', ')}`);
const home = fileURLToPath(new URL('corpus', import.meta.url));
const findings = join('results', 'fuzz');
mkdirSync(findings, { recursive: true });
const coverage = new Coverage(['/dist/rack/', '/dist/cli/', '/dist/draw/']);
const prototypeKeys = Reflect.ownKeys(Object.prototype).length;
let broken = 0;

for (const name of chosen) {
  const { seeds, words, run } = TARGETS[name];
  const folder = join(home, name.replaceAll(' ', '-'));
  const kept = existsSync(folder) ? readdirSync(folder).sort().map((file) => readFileSync(join(folder, file), 'utf8')) : [];
  const corpus = [...seeds, ...kept];
  const random = numbersFrom(Number(values.seed));
  const ends = performance.now() + (1000 * Number(values.seconds)) / chosen.length;
  let inputs = 0;
  let taken = 0;
  let added = 0;
  coverage.skip();
  for (let k = 0; k < corpus.length || performance.now() < ends; k++) {
    const text = k < corpus.length && inputs < seeds.length + kept.length ? corpus[k] : mutated(random.oneOf(corpus), corpus, words, random).slice(0, LONGEST);
    const started = performance.now();
    try {
      if (await run(text)) taken++;
      if (performance.now() - started > (PATIENCE[name] ?? PATIENCE.readers)) throw new Error(`took ${Math.round(performance.now() - started)} ms`);
      if (Reflect.ownKeys(Object.prototype).length !== prototypeKeys) throw new Error('Object.prototype was changed');
    } catch (error) {
      broken++;
      console.log(keepFinding(findings, name, text, error));
      if (broken >= 10) break;
    }
    inputs++;
    if (coverage.news() > 0 && inputs > seeds.length + kept.length) {
      corpus.push(text);
      added++;
      if (values.keep && text.length < 8000) {
        mkdirSync(folder, { recursive: true });
        writeFileSync(join(folder, createHash('sha256').update(text).digest('hex').slice(0, 16)), text);
      }
    }
  }
  console.log(`${name}: ${inputs} inputs, ${taken} taken, ${added} new ways, ${coverage.blocks} blocks reached`);
}
if (broken > 0) console.log(`${broken} inputs broke something; they are in ${findings}`);
process.exit(broken > 0 ? 1 : 0);
