import { readFileSync } from 'node:fs';
import { scriptSource } from './scriptText.js';

/** The text of the plotting library, for embedding; read when asked for, since it is several MB. */
export function plottingLibrary(): string {
  return scriptSource(readFileSync(require.resolve('plotly.js-dist-min/plotly.min.js'), 'utf8'));
}
