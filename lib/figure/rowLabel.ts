import { PALETTE } from './palette.js';

/** The name of a row, written above it rather than beside it: long names then take no width from the plot. */
export function rowLabel(row: number, text: string): Readonly<Record<string, unknown>> {
  return {
    x: 0, xref: 'paper', xanchor: 'left', y: row, yref: 'y', yanchor: 'bottom', yshift: 8, text, showarrow: false,
    align: 'left', font: { size: 12.5, color: PALETTE.ink },
  };
}
