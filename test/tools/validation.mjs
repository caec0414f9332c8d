/**
 * Runs the checks against published values and independent programs and writes what they recorded to
 * lib/ladder/VALIDATION.md with its pictures. Writes nothing where a check fails.
 */
import { spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { validationCounts, validationPage } from '../validation/pageText.mjs';
import { pictures } from '../validation/pictures.mjs';

const root = join(dirname(fileURLToPath(import.meta.url)), '..', '..');
const pictureFolder = join(root, 'lib', 'ladder', 'validation');

function run(args, env) {
  const options = { cwd: root, stdio: 'inherit', env: { ...process.env, ...env } };
  const { status } = spawnSync(process.execPath, args, options);
  if (status !== 0) process.exit(status ?? 1);
}

run([join('test', 'tools', 'build.mjs')]);
const folder = mkdtempSync(join(tmpdir(), 'slotcast-validation-'));
const file = join(folder, 'checks.jsonl');
let lines;
try {
  const vitest = join('node_modules', 'vitest', 'vitest.mjs');
  run([vitest, 'run', 'test/published', 'test/independent'], { SLOTCAST_CHECKS: file });
  lines = readFileSync(file, 'utf8').split('\n').filter((line) => line !== '').map((line) => JSON.parse(line));
} finally {
  rmSync(folder, { recursive: true, force: true });
}

const drawn = pictures(lines, createRequire(import.meta.url)('slotcast'));
mkdirSync(pictureFolder, { recursive: true });
for (const old of readdirSync(pictureFolder)) {
  if (old.endsWith('.svg') && !drawn.some((picture) => picture.file === old)) rmSync(join(pictureFolder, old));
}
for (const picture of drawn) writeFileSync(join(pictureFolder, picture.file), picture.svg);
const page = join(root, 'lib', 'ladder', 'VALIDATION.md');
const before = existsSync(page) ? readFileSync(page, 'utf8') : '';
const text = validationPage(lines, drawn);
writeFileSync(page, text);
writeFileSync(join(pictureFolder, 'counts.json'), `${JSON.stringify(validationCounts(lines))}\n`);
console.log(text === before ? 'VALIDATION.md is as it was' : 'VALIDATION.md has changed');
