/**
 * JupyterLab with the TypeScript kernel, inside the project: programs, kernel, settings and running files stand in .venv,
 * nothing in the user's home.
 */
import { spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';

export const root = join(dirname(fileURLToPath(import.meta.url)), '..', '..');
const venv = join(root, '.venv');
const requirements = join(root, 'notebooks', 'requirements.txt');
const stamp = join(venv, 'notebooks-requirements.txt');
const programs = join(venv, process.platform === 'win32' ? 'Scripts' : 'bin');

/** Variables that name a file of the user's own in place of the demonstration's. */
export const OWN_FILES = ['SLOTCAST_STUDY', 'SLOTCAST_COPPER', 'SLOTCAST_LOAD'];

/** Path of a program of the virtual environment. */
export const program = (name) => join(programs, name);

/** Whether everything that notebooks need is installed. */
export function isPrepared() {
  return existsSync(stamp) && readFileSync(stamp, 'utf8') === readFileSync(requirements, 'utf8')
    && existsSync(program('jupyter'));
}

function run(command, args) {
  const { status, error } = spawnSync(command, args, { stdio: ['ignore', 'inherit', 'inherit'], cwd: root });
  if (error !== undefined) throw new Error(`${command} cannot be run: ${error.message}`);
  if (status !== 0) throw new Error(`${command} ${args.slice(0, 3).join(' ')} … failed with code ${status}`);
}

/** Makes the environment where it is missing or older than its list, and registers the kernel in it. */
export function prepareJupyter() {
  if (!isPrepared()) {
    const python = process.env.PYTHON ?? (process.platform === 'win32' ? 'python' : 'python3');
    console.error('Installing JupyterLab into .venv; this happens once.');
    if (!existsSync(program(process.platform === 'win32' ? 'python.exe' : 'python'))) run(python, ['-m', 'venv', venv]);
    run(program('python'), ['-m', 'pip', 'install', '--quiet', '--disable-pip-version-check', '-r', requirements]);
    writeFileSync(stamp, readFileSync(requirements, 'utf8'));
  }
  const kernel = join(venv, 'share', 'jupyter', 'kernels', 'tslab');
  mkdirSync(kernel, { recursive: true });
  writeFileSync(join(kernel, 'kernel.json'), JSON.stringify({
    argv: [process.execPath, join(root, 'node_modules', 'tslab', 'bin', 'tslab'), 'kernel', '--config-path',
      '{connection_file}'],
    display_name: 'TypeScript',
    language: 'typescript',
  }, null, 2));
}

/** Environment in which Jupyter keeps everything inside the project. */
export function jupyterEnvironment() {
  const own = (name) => join(venv, 'jupyter', name);
  // A kernel stands in the notebook's folder, not where the command was typed.
  const files = OWN_FILES.filter((name) => process.env[name] !== undefined).map((name) => [name, resolve(process.env[name])]);
  return {
    ...process.env,
    JUPYTER_CONFIG_DIR: own('config'),
    JUPYTER_DATA_DIR: own('data'),
    JUPYTER_RUNTIME_DIR: own('runtime'),
    JUPYTERLAB_SETTINGS_DIR: own('settings'),
    JUPYTERLAB_WORKSPACES_DIR: own('workspaces'),
    IPYTHONDIR: own('ipython'),
    JUPYTER_PLATFORM_DIRS: '1',
    ...Object.fromEntries(files),
  };
}
