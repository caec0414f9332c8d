/** The packed tarball in an empty project, as a user meets it. Needs the npm registry for the dependencies. */
import { execFileSync, spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';

const project = mkdtempSync(join(tmpdir(), 'slotcast-pack-'));
afterAll(() => rmSync(project, { recursive: true, force: true }));

function inProject(command: string, ...args: string[]): { code: number | null; out: string; err: string } {
  const run = spawnSync(command, args, { cwd: project, encoding: 'utf8' });
  return { code: run.status, out: run.stdout, err: run.stderr };
}

const CONSUMER = `
import { currentForRise, loadStudy, rateScenario, runStudy, type Rack, type Summary } from 'slotcast';
const rack: Rack | undefined = undefined;
const summary: Summary | undefined = undefined;
console.log(typeof currentForRise, typeof loadStudy, typeof rateScenario, typeof runStudy, rack, summary);
`;

beforeAll(() => {
  const packed = execFileSync('npm', ['pack', '--silent', '--ignore-scripts', '--pack-destination', project], { encoding: 'utf8' });
  writeFileSync(join(project, 'package.json'), '{ "name": "empty", "private": true }');
  const install = inProject('npm', 'install', '--ignore-scripts', '--no-audit', '--no-fund', join(project, packed.trim()));
  if (install.code !== 0) throw new Error(install.err);
  writeFileSync(join(project, 'consumer.ts'), CONSUMER);
}, 240_000);

describe('installed from a tarball', () => {
  it('is imported by name in an ES module', () => {
    writeFileSync(join(project, 'a.mjs'), "import { LIBRARY_VERSION, RackModel } from 'slotcast'; console.log(LIBRARY_VERSION, typeof RackModel);");
    expect(inProject('node', 'a.mjs').out).toMatch(/^\d+\.\d+\.\d+ function/);
  });

  it('is required by name', () => {
    writeFileSync(join(project, 'b.cjs'), "const { LIBRARY_VERSION, RackModel } = require('slotcast'); console.log(LIBRARY_VERSION, typeof RackModel);");
    expect(inProject('node', 'b.cjs').out).toMatch(/^\d+\.\d+\.\d+ function/);
  });

  it('does not bring danfo.js along', () => {
    expect(existsSync(join(project, 'node_modules', 'danfojs-node'))).toBe(false);
    expect(existsSync(join(project, 'node_modules', '@tensorflow'))).toBe(false);
  });

  it('runs its command, worker threads and report included', () => {
    const demo = join(project, 'node_modules', 'slotcast', 'data-demo', 'deep-bar-anywhere.json');
    const run = inProject('npx', 'slotcast', 'study', demo, '--scenarios', '300', '--workers', '2', '--out', 'out');
    expect(run.err).toMatch(/300 scenarios/);
    expect(run.code).toBe(0);
    expect(existsSync(join(project, 'out', 'report.html'))).toBe(true);
  });

  it('carries the JSON Schemas that editors complete rack files with', () => {
    for (const name of ['rack', 'catalogue', 'study', 'copper']) {
      expect(existsSync(join(project, 'node_modules', 'slotcast', 'lib', 'rack', 'schema', `${name}.schema.json`))).toBe(true);
    }
  });

  // tslab resolves types through main/types and carries TypeScript 5.0; library types are checked too.
  it.each([
    ['TypeScript 5.0, old resolution', '@tslab/typescript-for-tslab', ['--module', 'commonjs', '--moduleResolution', 'node']],
    ['TypeScript 5.0, Node resolution', '@tslab/typescript-for-tslab', ['--module', 'node16', '--moduleResolution', 'node16']],
    ['the present TypeScript', 'typescript', ['--module', 'nodenext', '--moduleResolution', 'nodenext']],
  ])('its declarations parse with %s', (_, compiler, flags) => {
    const tsc = resolve('node_modules', compiler, 'bin', 'tsc');
    const run = inProject('node', tsc, '--noEmit', '--strict', '--target', 'es2022', '--types', 'node',
      '--typeRoots', resolve('node_modules/@types'), '--skipLibCheck', 'false', ...flags, 'consumer.ts');
    const own = run.out.split('\n').filter((line) => line.includes('slotcast') || line.startsWith('consumer.ts'));
    expect(own).toEqual([]);
  });
});
