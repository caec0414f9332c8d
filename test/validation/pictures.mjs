/** The pictures of the validation page: curves of the library over the published points among the check lines. */
import { linePlot } from './linePlot.mjs';

/** Places along an axis, evenly spread over its numbers or its decades. */
const spread = (from, to, count) => Array.from({ length: count }, (_, i) => from + ((to - from) * i) / (count - 1));
const decades = (from, to, count) => spread(Math.log10(from), Math.log10(to), count).map((e) => 10 ** e);
const curve = (name, places, of, kind = 'line') => ({ name, kind, points: places.map((x) => [x, of(x)]) });

/** Published values that name this picture. */
const dotsOf = (lines, picture) => lines.filter(({ plot }) => plot?.picture === picture)
  .map(({ plot, published }) => [plot.x, published]).sort(([a], [b]) => a - b);

const INCH = 0.0254;

/** Width in inch and ampere of the single 1/4 inch bars of one run among the bar ratings, each once. */
function barRows(lines, run) {
  const rows = new Map();
  for (const { section, quantity, published } of lines) {
    const width = section === 'A' && quantity.startsWith('1 × 0.25 ×') && quantity.includes(`${run} run`)
      ? Number(quantity.split(' ')[4]) : Number.NaN;
    if (width > 0) rows.set(width, published);
  }
  return [...rows].sort(([a], [b]) => a - b);
}

/**
 * @param lines the lines of the checks
 * @param library the built package
 * @returns `{ file, title, svg }` of each picture
 */
export function pictures(lines, library) {
  const { currentForRise, churchillChuNusselt, channelNusselt, flatPlateNusselt, BUILT_IN_MATERIALS } = library;
  const copper = BUILT_IN_MATERIALS.find(({ id }) => id === 'copper-iacs-100');
  const rating = (depth, thickness, run, model, rise) => currentForRise({
    section: { material: copper, plates: { count: 1, depth, thickness, gap: 0 }, emissivity: 0.4, openFaces: 2 },
    films: { outerFaces: { model }, edges: { model }, facingFaces: { model: 'channel' }, factor: 1 },
    run, runLength: 2, air: 313.15, surroundings: 313.15, altitude: 0,
  }, rise).current;
  const quarterInch = (run, model) => (width) => rating(width * INCH, INCH / 4, run, model, 30);
  const widths = spread(0.5, 6.5, 49);

  const plots = {
    'bar-rating-horizontal.svg': {
      title: 'One copper bar 1/4 inch thick, horizontal run, 30 K over 40 °C',
      x: { label: 'width, inch' }, y: { label: 'current, A' },
      series: [
        curve('still-air film, emissivity 0.40', widths, quarterInch('horizontal', 'still-air')),
        curve('handbook film, emissivity 0.40', widths, quarterInch('horizontal', 'handbook'), 'dashed'),
        { name: 'ATIS T1.311, table 5, column A', kind: 'dots', points: barRows(lines, 'horizontal') },
      ],
    },
    'bar-rating-vertical.svg': {
      title: 'One copper bar 1/4 inch thick, vertical run of 2 m, 30 K over 40 °C',
      x: { label: 'width, inch' }, y: { label: 'current, A' },
      series: [
        curve('slender bar, emissivity 0.40', widths, quarterInch('vertical', 'slender-still-air')),
        curve('flat plate of its height, emissivity 0.40', widths, quarterInch('vertical', 'still-air'), 'dashed'),
        { name: 'ATIS T1.311, table 5, column B', kind: 'dots', points: barRows(lines, 'vertical') },
      ],
    },
    're-rating.svg': {
      title: 'Re-rating a copper bar 100 × 6.3 mm by its rise, air of 40 °C',
      x: { label: 'rise, K' }, y: { label: 'current over that at 30 K' },
      series: [
        curve('handbook film, emissivity 0.40', spread(5, 110, 43), (rise) =>
          rating(0.1, 0.0063, 'horizontal', 'handbook', rise) / rating(0.1, 0.0063, 'horizontal', 'handbook', 30)),
        curve('formula: (rise/30)^0.61, IEC 61439-1', spread(5, 110, 43), (rise) => (rise / 30) ** 0.61, 'dashed'),
        {
          name: '973 A at 102 K re-rated to 990 A at 105 K, laid on the formula',
          kind: 'dots',
          points: [[102, 973], [105, 990]].map(([rise, current]) => [rise, ((102 / 30) ** 0.61 * current) / 973]),
        },
      ],
    },
    'churchill-chu.svg': {
      title: 'Vertical plate in still air, Pr 0.69',
      x: { label: 'Rayleigh number', logarithmic: true }, y: { label: 'Nusselt number', logarithmic: true },
      series: [
        curve('Churchill & Chu (1975)', decades(1e-1, 1e12, 79), (rayleigh) => churchillChuNusselt(rayleigh, 0.69)),
        { name: 'Incropera, example 9.2', kind: 'dots', points: dotsOf(lines, 'churchill-chu') },
      ],
    },
    'channel.svg': {
      title: 'Channel of facing plates, open at both ends',
      x: { label: 'Elenbaas number', logarithmic: true }, y: { label: 'Nusselt number', logarithmic: true },
      series: [
        curve('Bar-Cohen & Rohsenow (1984)', decades(1e-4, 1e5, 91), channelNusselt),
        curve('formula: narrow, El/24', decades(1e-4, 1e2, 2), (elenbaas) => elenbaas / 24, 'dashed'),
        { name: 'published values', kind: 'dots', points: dotsOf(lines, 'channel') },
      ],
    },
    'flat-plate.svg': {
      title: 'Flat plate in moving air, Pr 0.687',
      x: { label: 'Reynolds number', logarithmic: true }, y: { label: 'Nusselt number', logarithmic: true },
      series: [
        curve('laminar to 5e5, mixed beyond', decades(1e3, 1e7, 81), (reynolds) => flatPlateNusselt(reynolds, 0.687)),
        { name: 'Incropera, example 7.1', kind: 'dots', points: dotsOf(lines, 'flat-plate') },
      ],
    },
  };
  return Object.entries(plots).map(([file, plot]) => {
    for (const { name, points } of plot.series) {
      if (points.length === 0) throw new Error(`${file}: no points for ${name}`);
    }
    return { file, title: plot.title, svg: linePlot(plot) };
  });
}
