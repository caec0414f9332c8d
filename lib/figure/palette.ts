/**
 * The colours of every picture and page. Chosen so that neighbours differ in lightness, not in hue alone: they stay
 * apart in grey, in print and with any colour vision; line patterns and words say the same again.
 */
export const PALETTE = {
  paper: '#ffffff',
  /** Grounds of cautions and of commands. */
  cautionGround: '#fcf3f5',
  commandGround: '#f5f7f9',
  /** Text, ≥ 7:1 on paper. */
  ink: '#1b2430',
  /** Axis text and notes, ≥ 4.5:1 on paper. */
  quiet: '#4a5563',
  grid: '#dde2e7',
  /** Supply pole, solid lines. */
  supply: '#0b3a5c',
  /** Return pole, dashed lines; also the accent of the pages. */
  return: '#b4531a',
  /** Air, dotted lines. */
  air: '#71879a',
  /** Limits, long dashes. */
  limit: '#7d1230',
  /** Bars of counts and shares. */
  bars: '#6f9ab5',
  /** Whiskers and marks over bars. */
  mark: '#0b3a5c',
  powerShelf: { fill: '#dce7ef', edge: '#0b3a5c' },
  batteryShelf: { fill: '#e4eedd', edge: '#3f6b2a' },
  /** `bar` shows power per slot, `fill` what is left of the unit. */
  load: { fill: '#fbf1e9', bar: '#eebd98', edge: '#8a5a38' },
  /** Bar temperature, coolest to warmest; lightness falls all the way. */
  heat: ['#fdf0e2', '#f6c79b', '#dd8a4e', '#a8481f', '#611a17'],
} as const;

export const FONT_FAMILY = 'system-ui, sans-serif';

/** Colour of the heat scale at 0..1, `#rrggbb`. */
export function heatColour(fraction: number): string {
  const { heat } = PALETTE;
  const at = Math.min(1, Math.max(0, fraction)) * (heat.length - 1);
  const i = Math.min(heat.length - 2, Math.floor(at));
  const channel = (colour: string, c: number) => Number.parseInt(colour.slice(1 + 2 * c, 3 + 2 * c), 16);
  const mixed = [0, 1, 2].map((c) => {
    const [from, to] = [channel(heat[i], c), channel(heat[i + 1], c)];
    return Math.round(from + (to - from) * (at - i)).toString(16).padStart(2, '0');
  });
  return `#${mixed.join('')}`;
}
