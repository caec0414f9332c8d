/** A line plot as SVG text: enough for the pictures of the validation page, without a browser. */

const WIDTH = 640;
const HEIGHT = 400;
const BOX = { left: 70, right: 20, top: 40, bottom: 50 };
const COLOURS = ['#1f5fa8', '#b3541e', '#2c7a4b', '#7a3b8f'];

const escaped = (text) => String(text).replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;');
const at = (value) => String(Math.round(value * 10) / 10);

function linearTicks(from, to) {
  const rough = (to - from) / 6;
  const unit = 10 ** Math.floor(Math.log10(rough));
  const step = [1, 2, 5, 10].map((m) => m * unit).find((s) => s >= rough);
  const first = Math.ceil(from / step - 1e-9);
  const last = Math.floor(to / step + 1e-9);
  return Array.from({ length: last - first + 1 }, (_, i) => Number(((first + i) * step).toPrecision(6)));
}

/** Powers of ten, at most about eight of them. */
function decadeTicks(from, to) {
  const first = Math.ceil(Math.log10(from) - 1e-9);
  const last = Math.floor(Math.log10(to) + 1e-9);
  const step = Math.ceil((last - first + 1) / 8);
  const ticks = [];
  for (let e = first; e <= last; e += step) ticks.push(Number(`1e${e}`));
  return ticks;
}

/** Position of a value on an axis of the given pixels. */
function scaleOf(values, logarithmic, startsAtZero, low, high) {
  const forward = logarithmic ? Math.log10 : (x) => x;
  const min = Math.min(...values, ...(startsAtZero && !logarithmic ? [0] : []));
  const max = Math.max(...values);
  const place = (x) => low + ((forward(x) - forward(min)) / (forward(max) - forward(min))) * (high - low);
  return { place, ticks: logarithmic ? decadeTicks(min, max) : linearTicks(min, max) };
}

const tickText = (value) => {
  const exponent = Math.log10(value);
  return value > 0 && Number.isInteger(exponent) && Math.abs(exponent) > 3 ? `1e${exponent}` : String(value);
};

/**
 * @param plot `{ title, x: { label, logarithmic? }, y: the same,
 *   series: [{ name, kind: 'line' | 'dashed' | 'dots', points: [[x, y]] }] }`
 */
export function linePlot({ title, x, y, series }) {
  const all = series.flatMap(({ points }) => points);
  const across = scaleOf(all.map(([a]) => a), x.logarithmic, true, BOX.left, WIDTH - BOX.right);
  const up = scaleOf(all.map(([, b]) => b), y.logarithmic, true, HEIGHT - BOX.bottom, BOX.top);
  const parts = [
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${WIDTH} ${HEIGHT}" font-family="sans-serif" font-size="12">`,
    `<title>${escaped(title)}</title>`,
    `<rect width="${WIDTH}" height="${HEIGHT}" fill="#ffffff"/>`,
    `<text x="${WIDTH / 2}" y="20" text-anchor="middle" font-size="14">${escaped(title)}</text>`,
    `<text x="${WIDTH / 2}" y="${HEIGHT - 12}" text-anchor="middle">${escaped(x.label)}</text>`,
    `<text transform="translate(16 ${HEIGHT / 2}) rotate(-90)" text-anchor="middle">${escaped(y.label)}</text>`,
  ];
  for (const tick of across.ticks) {
    const p = at(across.place(tick));
    parts.push(`<line x1="${p}" x2="${p}" y1="${BOX.top}" y2="${HEIGHT - BOX.bottom}" stroke="#dddddd"/>`);
    parts.push(`<text x="${p}" y="${HEIGHT - BOX.bottom + 16}" text-anchor="middle">${tickText(tick)}</text>`);
  }
  for (const tick of up.ticks) {
    const p = at(up.place(tick));
    parts.push(`<line x1="${BOX.left}" x2="${WIDTH - BOX.right}" y1="${p}" y2="${p}" stroke="#dddddd"/>`);
    parts.push(`<text x="${BOX.left - 6}" y="${at(up.place(tick) + 4)}" text-anchor="end">${tickText(tick)}</text>`);
  }
  series.forEach(({ name, kind, points }, i) => {
    const colour = COLOURS[i % COLOURS.length];
    const placed = points.map(([a, b]) => [at(across.place(a)), at(up.place(b))]);
    const dash = kind === 'dashed' ? ' stroke-dasharray="6 4"' : '';
    const row = BOX.top + 16 + 18 * i;
    if (kind === 'dots') {
      for (const [a, b] of placed) parts.push(`<circle cx="${a}" cy="${b}" r="4" fill="${colour}"/>`);
      parts.push(`<circle cx="${BOX.left + 22}" cy="${row - 4}" r="4" fill="${colour}"/>`);
    } else {
      const path = placed.map((pair) => pair.join(',')).join(' ');
      parts.push(`<polyline points="${path}" fill="none" stroke="${colour}" stroke-width="2"${dash}/>`);
      parts.push(`<line x1="${BOX.left + 10}" x2="${BOX.left + 34}" y1="${row - 4}" y2="${row - 4}" stroke="${colour}" `
        + `stroke-width="2"${dash}/>`);
    }
    parts.push(`<text x="${BOX.left + 40}" y="${row}">${escaped(name)}</text>`);
  });
  return `${parts.join('\n')}\n</svg>\n`;
}
