/** The machine in a few facts; nothing that names its owner or its folders. */
import { cpus, loadavg, totalmem } from 'node:os';
import { compilerVersion } from './reference.mjs';
import { findPython } from './baseline.mjs';

export function describeMachine() {
  const cores = cpus();
  return {
    processor: cores[0]?.model.trim() ?? 'not known',
    cores: cores.length,
    memoryGb: Math.round(totalmem() / 1e9),
    loadBefore: Number(loadavg()[0].toFixed(2)),
    node: process.version,
    compiler: compilerVersion(),
    python: findPython()?.versions ?? null,
  };
}
