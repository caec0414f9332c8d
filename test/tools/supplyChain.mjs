/**
 * What this package is made of, from the lock file: `npm run supply-chain` writes the bill of materials (CycloneDX) to
 * results/bill-of-materials.json, prints the licences and asks the registry for advisories where it answers.
 */
import { spawnSync } from 'node:child_process';
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

const root = join(dirname(fileURLToPath(import.meta.url)), '..', '..');

/** Licences that what is handed on to users may carry. */
export const PERMISSIVE = ['MIT', 'ISC', 'BSD-2-Clause', 'BSD-3-Clause', 'Apache-2.0', '0BSD', 'BSL-1.0', 'BlueOak-1.0.0', 'Unlicense'];

/** Packages with a script that runs at installation, and why nothing here needs it to run. */
export const INSTALL_SCRIPTS = {
  'core-js': 'prints a message',
  zeromq: 'would build what the package brings ready for common systems; notebooks use that',
};

/** Licences that a package states in its LICENSE file alone. */
export const STATED_IN_TEXT = { 'typed-function': 'MIT' };

/** Packages of the lock file: name, version, licence, whether users get it, and whether it would run a script. */
export function lockedPackages() {
  const { packages } = JSON.parse(readFileSync(join(root, 'package-lock.json'), 'utf8'));
  return Object.entries(packages).filter(([path]) => path !== '').map(([path, entry]) => ({
    name: path.slice(path.lastIndexOf('node_modules/') + 'node_modules/'.length), version: entry.version,
    license: licenseOf(path, entry), isForUsers: entry.dev !== true, hasScript: entry.hasInstallScript === true,
    integrity: entry.integrity,
  }));
}

/** As the lock file says, or the package itself where it says nothing. */
function licenseOf(path, { license }) {
  if (license !== undefined) return license;
  try {
    const { license: own, licenses } = JSON.parse(readFileSync(join(root, path, 'package.json'), 'utf8'));
    return own ?? licenses?.map(({ type }) => type).join(' OR ') ?? STATED_IN_TEXT[path.replace('node_modules/', '')] ?? 'not stated';
  } catch {
    return 'not stated';
  }
}

/** The bill of materials, CycloneDX 1.5. */
export function billOfMaterials() {
  const run = spawnSync('npm', ['sbom', '--sbom-format', 'cyclonedx', '--package-lock-only'], { cwd: root, encoding: 'utf8', maxBuffer: 1e8 });
  if (run.status !== 0) throw new Error(`npm sbom: ${run.stderr}`);
  return run.stdout;
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const target = join(root, 'results', 'bill-of-materials.json');
  mkdirSync(dirname(target), { recursive: true });
  const bill = billOfMaterials();
  writeFileSync(target, bill);
  console.log(`${JSON.parse(bill).components.length} packages are listed in results/bill-of-materials.json`);
  for (const isForUsers of [true, false]) {
    const counts = new Map();
    for (const one of lockedPackages()) if (one.isForUsers === isForUsers) counts.set(one.license, (counts.get(one.license) ?? 0) + 1);
    console.log(`\nLicences of what ${isForUsers ? 'users get' : 'only developers get'}:`);
    for (const [license, count] of [...counts].sort((a, b) => b[1] - a[1])) console.log(`  ${String(count).padStart(4)}  ${license}`);
  }
  const audit = spawnSync('npm', ['audit'], { cwd: root, encoding: 'utf8' });
  const isAnswered = /vulnerabilit/.test(audit.stdout);
  console.log(`\nAdvisories: ${isAnswered ? audit.stdout.trim() : 'this registry does not answer `npm audit`; ask one that does'}`);
  process.exit(isAnswered ? audit.status ?? 1 : 0);
}
