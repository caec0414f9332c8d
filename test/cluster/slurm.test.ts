/** The files for batch systems: Slurm's run for real on a Slurm of one node, the other's by what it says. */
import { spawnSync } from 'node:child_process';
import { cpSync, existsSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import { afterAll, describe, expect, it } from 'vitest';

const main = resolve('dist/program/main.js');
const isThere = process.getuid?.() === 0
  && ['munged', 'slurmctld', 'slurmd', 'sbatch', 'scancel', 'squeue'].every((program) => spawnSync('which', [program]).status === 0);
if (!isThere) console.log('The test of the Slurm files is skipped: it needs Slurm, munge, and leave to start them.');

const folder = mkdtempSync(join(tmpdir(), 'slotcast-slurm-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe.skipIf(!isThere)('the Slurm array', () => {
  it('gives the bytes of one run, with one part killed and run again', async () => {
    cpSync('data-demo', join(folder, 'demo'), { recursive: true });
    const study = ['demo/deep-bar-anywhere.json'];
    // Enough for a part to last a second, in which it can be killed.
    const scenarios = ['--scenarios', '96000'];
    const options = [...scenarios, '--batch', '50'];
    const { startSlurm } = await import(pathToFileURL('test/tools/slurm.mjs').href);
    const slurm = await startSlurm(join(folder, 'slurm'), 16_817 + (process.pid % 1000));
    const env = { ...slurm.env, SLOTCAST: `${process.execPath} ${main}` };
    const run = (program: string, ...args: string[]) => {
      const { status, stdout, stderr } = spawnSync(program, args, { cwd: folder, env, encoding: 'utf8' });
      if (status !== 0) throw new Error(`${program} ${args.join(' ')}: ${stderr}`);
      return stdout.trim();
    };
    const submit = (...args: string[]) => run('sbatch', '--parsable', '--output=job-%A-%a.log', ...args);
    const until = async (holds: () => boolean) => {
      for (let i = 0; i < 2400; i++) {
        if (holds()) return;
        await new Promise((done) => setTimeout(done, 50));
      }
      throw new Error(`it does not come about:\n${run('squeue', '--array')}\n${readdirSync(folder).join(' ')}`);
    };
    const isDone = (job: string) => spawnSync('squeue', ['-h', '-j', job], { env, encoding: 'utf8' }).stdout.trim() === '';
    try {
      const job = submit('--array=1-4', '--cpus-per-task=1', 'demo/cluster/slotcast-study.sbatch', ...study, 'out', ...options);
      const batches = join(folder, 'out', 'batches-of-part-2-of-4.bin');
      await until(() => existsSync(batches) && readdirSync(batches).length > 2);
      run('scancel', '--signal=KILL', `${job}_2`);
      await until(() => isDone(job));
      const parts = () => readdirSync(join(folder, 'out')).filter((name) => /^part-.*\.bin$/.test(name)).sort();
      expect(parts()).toEqual(['part-1-of-4.bin', 'part-3-of-4.bin', 'part-4-of-4.bin']);
      // Merged as it is, the lost part is named.
      const early = spawnSync(process.execPath, [main, 'merge', ...parts().map((name) => join('out', name)), '--study', ...study,
        ...scenarios, '--out', 'early'], { cwd: folder, encoding: 'utf8' });
      expect(early.stderr).toMatch(/missing: part 2 of 4/);
      const again = submit('--array=2', '--cpus-per-task=1', '--export=ALL,SLOTCAST_PARTS=4', 'demo/cluster/slotcast-study.sbatch',
        ...study, 'out', ...options);
      const merge = submit(`--dependency=afterok:${again}`, 'demo/cluster/slotcast-merge.sbatch', ...study, 'out', ...scenarios);
      await until(() => isDone(again) && isDone(merge));
      expect(readFileSync(join(folder, `job-${again}-2.log`), 'utf8')).toMatch(/scenarios kept from before/);
      const whole = spawnSync(process.execPath, [main, 'study', ...study, ...scenarios, '--out', 'whole', '--quiet'], { cwd: folder });
      expect(whole.status).toBe(0);
      for (const file of ['summary.json', 'scenarios.csv', 'report.html']) {
        expect(readFileSync(join(folder, 'out', file)).equals(readFileSync(join(folder, 'whole', file)))).toBe(true);
      }
    } finally {
      slurm.stop();
    }
  }, 240_000);
});

describe('the Kubernetes Job', () => {
  const text = readFileSync('data-demo/cluster/slotcast-study.yaml', 'utf8');

  it('is an indexed Job whose index becomes the part', () => {
    expect(text).toMatch(/^kind: Job$/m);
    expect(text).toMatch(/^ {2}completionMode: Indexed$/m);
    const [, completions] = /^ {2}completions: (\d+)$/m.exec(text) ?? [];
    const [, parts] = /name: PARTS\n +value: "(\d+)"/.exec(text) ?? [];
    expect(Number(parts)).toBeGreaterThan(1);
    expect(completions).toBe(parts);
  });

  it('runs a command that the shell makes part 1 of N from index 0', () => {
    const [, args] = /args:\n +- >-\n((?: {14}.*\n)+)/.exec(text) ?? [];
    const command = args.split('\n').map((line) => line.trim()).join(' ').replace('exec slotcast', 'echo slotcast');
    const { stdout } = spawnSync('sh', ['-c', command], { encoding: 'utf8', env: { ...process.env, JOB_COMPLETION_INDEX: '0', PARTS: '16' } });
    expect(stdout).toMatch(/^slotcast study \/study\/study\.json --part 1\/16 --out \/study\/out/);
  });

  const python = spawnSync('.venv/bin/python', ['-c', 'import yaml'], { encoding: 'utf8' }).status === 0;
  it.skipIf(!python)('is YAML', () => {
    const { status, stdout } = spawnSync('.venv/bin/python', ['-c',
      'import sys,yaml,json;print(json.dumps(yaml.safe_load(sys.stdin)))'], { input: text, encoding: 'utf8' });
    expect(status).toBe(0);
    const job = JSON.parse(stdout);
    expect(job.spec.template.spec.containers[0].args).toHaveLength(1);
    expect(job.spec.template.spec.restartPolicy).toBe('OnFailure');
  });
});
