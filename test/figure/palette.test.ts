import { describe, expect, it } from 'vitest';
import { heatColour, PALETTE } from '../../lib/figure/index.js';

/** Relative luminance and contrast ratio: W3C, WCAG 2.1, definitions of these terms (quoted from memory). */
function luminance(colour: string): number {
  const [red, green, blue] = [1, 3, 5].map((at) => {
    const c = Number.parseInt(colour.slice(at, at + 2), 16) / 255;
    return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
}

function contrast(one: string, other: string): number {
  const [dark, light] = [luminance(one), luminance(other)].sort((a, b) => a - b);
  return (light + 0.05) / (dark + 0.05);
}

describe('the palette', () => {
  it('is checked with the contrast of black on white, 21', () => {
    expect(contrast('#000000', '#ffffff')).toBeCloseTo(21, 9);
  });

  it('writes text at 4.5:1 or more, WCAG 2.1 level AA, on every ground it stands on', () => {
    const { ink, quiet, supply, return: accent, paper, powerShelf, batteryShelf, load, ...others } = PALETTE;
    for (const text of [ink, quiet, supply, accent]) expect(contrast(text, paper)).toBeGreaterThanOrEqual(4.5);
    const { cautionGround, commandGround } = others;
    for (const ground of [powerShelf.fill, batteryShelf.fill, load.fill, load.bar, cautionGround, commandGround]) {
      expect(contrast(ink, ground)).toBeGreaterThanOrEqual(4.5);
    }
  });

  it('draws lines and bars at 3:1 or more on paper, WCAG 2.1 criterion 1.4.11', () => {
    const { supply, return: returned, air, limit, bars, mark, paper } = PALETTE;
    for (const line of [supply, returned, air, limit, bars, mark]) {
      expect(contrast(line, paper)).toBeGreaterThanOrEqual(3);
    }
  });

  it('tells poles, and whiskers from bars, by lightness and not by hue alone', () => {
    expect(contrast(PALETTE.supply, PALETTE.return)).toBeGreaterThan(1.8);
    expect(contrast(PALETTE.mark, PALETTE.bars)).toBeGreaterThan(3);
  });

  it('grows darker all the way along the heat scale, so that it reads in grey', () => {
    const shades = Array.from({ length: 41 }, (_, i) => luminance(heatColour(i / 40)));
    for (let i = 1; i < shades.length; i++) expect(shades[i]).toBeLessThan(shades[i - 1]);
    expect(heatColour(0)).toBe(PALETTE.heat[0]);
    expect(heatColour(1)).toBe(PALETTE.heat[4]);
    expect(heatColour(7)).toBe(heatColour(1));
  });
});
