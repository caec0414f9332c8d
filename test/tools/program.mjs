/**
 * Bundles the command line and its worker threads from dist into dist/program, with what they use of small packages: to find
 * and read 900 files takes longer than to run them. Packages that bring files of their own beside code are left outside.
 */
import { existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'rolldown';

const root = join(dirname(fileURLToPath(import.meta.url)), '..', '..');
const dist = join(root, 'dist');
export const PROGRAM = join(dist, 'program');

/** With threads, browsers or scripts of their own, or optional; one is a module of the newer kind, which makes its chunk another kind too. */
const OUTSIDE = ['piscina', 'playwright-core', /^plotly\.js-dist-min/, 'danfojs-node', 'ml-levenberg-marquardt'];

export async function bundleProgram() {
  const { output } = await build({
    cwd: root,
    input: {
      main: join(dist, 'cli', 'main.js'),
      worker: join(dist, 'study', 'worker.js'),
      tableWorker: join(dist, 'study', 'tableWorker.js'),
    },
    platform: 'node',
    external: OUTSIDE,
    // Dynamic imports stay: a command loads what it needs.
    output: { dir: PROGRAM, format: 'cjs', chunkFileNames: '[name].js', comments: false },
    logLevel: 'warn',
  });
  writeFileSync(join(PROGRAM, 'NOTICES.txt'), notices(output.flatMap(({ moduleIds }) => moduleIds ?? [])));
}

/** Names, versions and licences of the packages that these files come from; a text that many share stands there once. */
function notices(files) {
  const homes = [...new Set(files.map(homeOf).filter((home) => home !== null))].sort();
  const packagesOf = new Map();
  for (const home of homes) {
    const { name, version, license } = JSON.parse(readFileSync(join(home, 'package.json'), 'utf8'));
    const texts = readdirSync(home).filter((file) => /^(licen[cs]e|notice|copying)/i.test(file)).sort()
      .map((file) => readFileSync(join(home, file), 'utf8').trim());
    if (typeof license !== 'string' && texts.length === 0) throw new Error(`${name}: no licence is named`);
    const text = texts.join('\n\n');
    packagesOf.set(text, [...(packagesOf.get(text) ?? []), `${name} ${version}: ${license}`]);
  }
  return [...packagesOf].map(([text, packages]) => `${packages.join('\n')}\n\n${text}\n`).join(`\n${'-'.repeat(80)}\n\n`);
}

/** The folder of the package that a file belongs to; null for our own. */
function homeOf(file) {
  if (!file.includes('node_modules')) return null;
  let home = dirname(file);
  const isPackage = () => existsSync(join(home, 'package.json'))
    && JSON.parse(readFileSync(join(home, 'package.json'), 'utf8')).version !== undefined;
  while (!isPackage()) home = dirname(home);
  return home;
}
