/**
 * The validation page in Markdown from the lines that the checks of test/published and test/independent append.
 * Everything printed is sorted and rounded, so that the same results give the same bytes.
 */

export const SECTIONS = {
  A: 'Bar ratings in still air',
  B: 'Closed forms for the ladder',
  C: 'Heat-transfer correlations and benchmarks',
  D: 'Statistics',
  E: 'A whole study whose answer is known exactly',
  F: 'Facts of the trade',
};

/** Heading after which no published value follows. */
const INDEPENDENT = '## Independent programs';

/** Text order with numbers by size: `2 mm` before `10 mm`, the same on every machine. */
const sortKey = (text) => text.replace(/\d+(\.\d+)?/g, (number) => `${number.split('.')[0].padStart(9, '0')}${number}`);
const byQuantity = (a, b) => (sortKey(a.quantity) < sortKey(b.quantity) ? -1 : 1);

/** Lowest and highest value that passes. */
function bandOf({ published, tolerance }) {
  if ('ratioFrom' in tolerance) return [published * tolerance.ratioFrom, published * tolerance.ratioTo];
  const allowed = 'absolute' in tolerance ? tolerance.absolute : tolerance.relative * Math.abs(published);
  return [published - allowed, published + allowed];
}

const allowedOf = (line) => {
  const { published, tolerance } = line;
  if ('absolute' in tolerance) return tolerance.absolute;
  if ('relative' in tolerance) return tolerance.relative * Math.abs(published);
  const [low, high] = bandOf(line);
  return (high - low) / 2;
};

/** Decimals that show a tenth of what is allowed. */
const decimalsFor = (allowed) => (allowed > 0 ? Math.max(0, 1 - Math.floor(Math.log10(allowed))) : 0);

/** Without the minus sign of a rounded zero. */
const fixed = (value, decimals) => value.toFixed(decimals).replace(/^-(0(?:\.0*)?)$/, '$1');

/** As few digits as say the same to these decimals. */
const short = (value, decimals) => String(Number(fixed(value, decimals)));

/** Two digits, small numbers with a power of ten. */
const twoDigits = (value) =>
  value < 1e-3 ? value.toExponential(1).replace('.0e', 'e') : String(Number(value.toPrecision(2)));

const signed = (text) => (text.startsWith('-') ? `−${text.slice(1)}` : /[1-9]/.test(text) ? `+${text}` : text);
const percent = (part) => `${signed(fixed(100 * part, 1))} %`;
const cell = (text) => String(text).replaceAll('|', '\\|');
const withUnit = (text, unit) => (unit === '1' ? text : `${text} ${unit}`);
const sourceOf = ({ source, fromMemory }) => (fromMemory ? `${source} *(quoted from memory)*` : source);

/**
 * One row per published value, in the order of the page: its section, its cells, and where in them `ours` stands with
 * the size of its last digit.
 */
export function publishedRows(lines) {
  const found = lines.filter(({ kind }) => kind === 'published' || kind === 'shortfall');
  const names = new Set();
  for (const { section, quantity } of found) {
    const name = `${section}: ${quantity}`;
    if (names.has(name)) throw new Error(`two checks of the name "${name}"; give each its own`);
    names.add(name);
  }
  return Object.keys(SECTIONS).flatMap((section) =>
    ['published', 'shortfall'].flatMap((kind) =>
      found.filter((line) => line.section === section && line.kind === kind).sort(byQuantity).map(rowOf)));
}

function rowOf(line) {
  const { kind, section, quantity, unit, published, ours } = line;
  const allowed = kind === 'published' ? allowedOf(line) : 0.005 * Math.abs(published);
  const decimals = decimalsFor(allowed);
  const values = [short(published, decimals + 2), fixed(ours, decimals)].map((text) => withUnit(text, unit));
  const head = [quantity, sourceOf(line), ...values];
  const relative = published === 0 ? '' : percent(ours / published - 1);
  const tail = kind === 'shortfall'
    ? [relative, line.missing, 'not met']
    : [
      withUnit(signed(fixed(ours - published, decimals)), unit)
        + ('ratioFrom' in line.tolerance || line.tolerance.relative >= 1e-3 ? ` (${relative})` : ''),
      toleranceOf(line),
      line.why,
      isMet(line, allowed) ? 'met' : 'FAILED',
    ];
  return { kind, section, cells: [...head, ...tail].map(cell), lastDigit: 10 ** -decimals };
}

function isMet(line, allowed) {
  const { published, ours, tolerance } = line;
  if (!('ratioFrom' in tolerance)) return Math.abs(ours - published) <= allowed;
  const [low, high] = bandOf(line);
  return low <= ours && ours <= high;
}

function toleranceOf({ tolerance, unit }) {
  if ('ratioFrom' in tolerance) return `${tolerance.ratioFrom.toFixed(2)} to ${tolerance.ratioTo.toFixed(2)} of it`;
  if ('absolute' in tolerance) {
    return tolerance.absolute === 0 ? 'exact' : `±${withUnit(twoDigits(tolerance.absolute), unit)}`;
  }
  return tolerance.relative >= 1e-3
    ? `±${Number((100 * tolerance.relative).toPrecision(3))} %` : `±${twoDigits(tolerance.relative)} of it`;
}

/** The cells of every published value on a page that {@link validationPage} wrote. */
export function rowsOnPage(page) {
  return page.split(INDEPENDENT)[0].split('\n')
    .filter((line) => /^\| .* \| (met|not met|FAILED) \|$/.test(line))
    .map((line) => line.slice(2, -2).split(/ (?<!\\)\| /));
}

const COLUMNS = {
  published: ['quantity', 'source', 'published', 'ours', 'difference', 'tolerance', 'why that much', 'verdict'],
  shortfall: ['quantity', 'source', 'published', 'ours', 'error', 'what is missing', 'verdict'],
};

function table(columns, rows) {
  const line = (cells) => `| ${cells.join(' | ')} |`;
  return [line(columns), `|${'---|'.repeat(columns.length)}`, ...rows.map(line)].join('\n');
}

const allowedText = (value) => (value < 1e-3 ? twoDigits(value) : String(Number(value.toPrecision(3))));

/** Three digits; far below what is allowed one, rounded up, since solvers of another version differ in the rest. */
function differenceText(value, allowed) {
  if (value >= 0.1 * allowed) return String(Number(value.toPrecision(3)));
  if (value === 0) return '0';
  const unit = 10 ** Math.floor(Math.log10(value));
  return String(Number((Math.ceil(value / unit - 1e-9) * unit).toPrecision(1)));
}

function independentTable(lines) {
  const groups = new Map();
  for (const found of lines.filter(({ kind }) => kind === 'independent')) {
    // Cases of one quantity share a row.
    const quantity = found.quantity.replace(/,? (rack|case) \d+/, '');
    const key = `${found.program}\n${quantity}`;
    const group = groups.get(key) ?? { ...found, quantity, cases: 0, difference: 0 };
    groups.set(key, {
      ...group,
      cases: group.cases + 1,
      difference: Math.max(group.difference, found.difference),
      allowed: Math.min(group.allowed, found.allowed),
    });
  }
  const rows = [...groups].sort(([a], [b]) => (sortKey(a) < sortKey(b) ? -1 : 1)).map(([, group]) => [
    group.program, group.quantity, String(group.cases),
    withUnit(differenceText(group.difference, group.allowed), group.unit),
    withUnit(allowedText(group.allowed), group.unit),
  ].map(cell));
  return rows.length === 0
    ? 'None has recorded a case.'
    : table(['program', 'quantity', 'cases', 'largest difference', 'allowed'], rows);
}

/** How many published values are met and not met, and how many are quoted from memory. */
export function validationCounts(lines) {
  const rows = publishedRows(lines);
  const count = (kind) => rows.filter((row) => row.kind === kind).length;
  const fromMemory = lines.filter((line) => line.kind !== 'independent' && line.fromMemory).length;
  return { met: count('published'), notMet: count('shortfall'), fromMemory };
}

/** The whole page; pictures are `{ file, title }` beside it. */
export function validationPage(lines, pictures) {
  const rows = publishedRows(lines);
  const { met, notMet, fromMemory } = validationCounts(lines);
  const parts = [
    '# Validation',
    'Written by `npm run validation` from the checks of `test/published` and `test/independent`; do not edit it by '
      + 'hand. Every row is an assertion of `npm test`.',
    'These rows show that the model answers as its sources do on cases simple enough to be published. They do not '
      + 'prove a rack: the model is one-dimensional, steady and for screening. An energised busbar delivers fault '
      + 'currents that burn and kill, and hot copper burns too; a temperature-rise test, local codes and '
      + 'licensed practice decide.',
    '`published` is the value of the source, `ours` what the library answers, `difference` ours less published; '
      + '`tolerance` is the largest difference that passes, and the next column says why it is that much. '
      + '*(quoted from memory)* marks values not looked up again when written down. Rows that are `not met` state the '
      + 'error as it stands and what is missing; the tests fail when it moves.',
    `${met} published values are met, ${notMet} are not; ${fromMemory} are quoted from memory.`,
  ];
  for (const [section, title] of Object.entries(SECTIONS)) {
    const own = rows.filter((row) => row.section === section);
    if (own.length === 0) continue;
    parts.push(`## ${section}. ${title}`);
    for (const kind of ['published', 'shortfall']) {
      const some = own.filter((row) => row.kind === kind);
      if (some.length === 0) continue;
      if (kind === 'shortfall') parts.push('Not met:');
      parts.push(table(COLUMNS[kind], some.map(({ cells }) => cells)));
    }
  }
  parts.push(
    INDEPENDENT,
    'Largest differences over all cases; those below a tenth of what is allowed are rounded up to one digit.',
    independentTable(lines),
  );
  parts.push('## Pictures', 'Lines are ours, or a formula where the legend says so; dots are published values.');
  for (const { file, title } of pictures) parts.push(`![${title}](validation/${file})`);
  return `${parts.join('\n\n')}\n`;
}
