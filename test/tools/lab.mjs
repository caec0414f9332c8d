/**
 * Opens the notebooks in JupyterLab. SLOTCAST_STUDY=my-study.json runs them on another study; further arguments go to
 * JupyterLab, e.g. --no-browser --port 8890.
 */
import { spawn, spawnSync } from 'node:child_process';
import { join } from 'node:path';
import { jupyterEnvironment, prepareJupyter, program, root } from './jupyter.mjs';

const { status } = spawnSync(process.execPath, [join(root, 'test', 'tools', 'build.mjs')], { stdio: 'inherit' });
if (status !== 0) process.exit(status ?? 1);
try {
  prepareJupyter();
} catch (error) {
  console.error(`JupyterLab cannot be set up: ${error.message}. Python 3 with venv is needed.`);
  process.exit(1);
}
const superuser = process.getuid?.() === 0 ? ['--allow-root'] : [];
const lab = spawn(program('jupyter'), [
  'lab', `--ServerApp.root_dir=${root}`, '--LabApp.default_url=/lab/tree/notebooks/01-rating-envelope.ipynb',
  '--LabApp.news_url=None', '--LabApp.check_for_updates_class=jupyterlab.NeverCheckForUpdate', ...superuser,
  ...process.argv.slice(2),
], { stdio: 'inherit', env: jupyterEnvironment(), cwd: root });
for (const signal of ['SIGINT', 'SIGTERM']) process.on(signal, () => lab.kill(signal));
lab.on('exit', (code) => process.exit(code ?? 1));
