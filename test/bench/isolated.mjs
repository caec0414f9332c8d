/**
 * Measures in a process of their own: what the engine has compiled for one workload then does not slow another down.
 * Started as a program it is that process: `node isolated.mjs MODULE FUNCTION ARGUMENTS`, the last as JSON.
 */
import { execFile } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';

const SELF = fileURLToPath(import.meta.url);

/** What a function of a module beside this one resolves to; arguments and answer go through JSON. */
export async function isolated(module, name, ...args) {
  const child = promisify(execFile)(process.execPath, [SELF, module, name, JSON.stringify(args)], { maxBuffer: 1 << 26 });
  const { stdout, stderr } = await child;
  if (stderr !== '') process.stderr.write(stderr);
  return JSON.parse(stdout);
}

if (process.argv[1] === SELF) {
  const [module, name, args] = process.argv.slice(2);
  const { [name]: measure } = await import(new URL(module, import.meta.url).href);
  console.log(JSON.stringify(await measure(...JSON.parse(args))));
}
