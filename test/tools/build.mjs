/**
 * Builds lib into dist (once, CommonJS with declarations), the command line once more as a program of few files in
 * dist/program, which starts in half the time, and links the package under its own name, so that
 * `slotcast` resolves from this folder, from tests and from notebooks as it does for a user who installed it.
 * Skips the compiler where dist is newer than every source.
 */
import { spawnSync } from 'node:child_process';
import { existsSync, lstatSync, readdirSync, rmSync, statSync, symlinkSync, utimesSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { bundleProgram } from './program.mjs';

const root = join(dirname(fileURLToPath(import.meta.url)), '..', '..');
const stamp = join(root, 'dist', '.built');

function newest(folder) {
  let latest = 0;
  for (const entry of readdirSync(folder, { withFileTypes: true })) {
    const path = join(folder, entry.name);
    latest = Math.max(latest, entry.isDirectory() ? newest(path) : statSync(path).mtimeMs);
  }
  // A removed file changes its folder.
  return Math.max(latest, statSync(folder).mtimeMs);
}

const inputs = Math.max(
  newest(join(root, 'lib')),
  ...['package.json', 'tsconfig.json', 'tsconfig.build.json'].map((name) => statSync(join(root, name)).mtimeMs),
);

if (!existsSync(stamp) || statSync(stamp).mtimeMs < inputs) {
  rmSync(join(root, 'dist'), { recursive: true, force: true });
  // By path: another package brings an older compiler under the same command name.
  const compiler = join(root, 'node_modules', 'typescript', 'bin', 'tsc');
  const run = spawnSync(process.execPath, [compiler, '-p', join(root, 'tsconfig.build.json')], { stdio: 'inherit' });
  if (run.status !== 0) process.exit(run.status ?? 1);
  await bundleProgram();
  writeFileSync(stamp, '');
  const now = new Date();
  utimesSync(stamp, now, now);
}

const link = join(root, 'node_modules', 'slotcast');
if (!existsSync(link)) {
  try {
    if (lstatSync(link)) rmSync(link);
  } catch {
    // Nothing there yet.
  }
  symlinkSync('..', link, 'junction');
}
