import { describeWhere, type InputProblem } from '../rack/errors.js';
import type { LoadedStudy, Rack } from '../rack/index.js';
import { loadRack, loadStudy } from '../rack/loader.js';
import type { Screen } from './program.js';
import { plainText } from './textTable.js';

/** A study file with all it names; what looks like a slip of units is said on standard error. */
export function openStudy(file: string, screen: Screen): LoadedStudy {
  const loaded = loadStudy(file);
  for (const warning of loaded.warnings) screen.err(warningText(warning));
  return loaded;
}

/** The same for a rack file. */
export function openRack(file: string, screen: Screen): { readonly rack: Rack; readonly warnings: readonly InputProblem[] } {
  const warnings: InputProblem[] = [];
  const rack = loadRack(file, (warning) => {
    warnings.push(warning);
    screen.err(warningText(warning));
  });
  return { rack, warnings };
}

/** On one line, safe for a terminal. */
export function warningText(warning: InputProblem): string {
  return plainText(`WARNING: ${describeWhere(warning)}: found ${warning.found}; ${warning.allowed}`);
}
