/** Ways to change an input: its bytes, its words, and, where it is JSON, its tree. */
import seedrandom from 'seedrandom';

const ODD_NUMBERS = [0, -0, 1, -1, 0.5, 1e-320, 1e308, -1e308, 2 ** 31, 2 ** 53, 1e12, 1e-12, 44, 1000];
const ODD_TEXTS = ['', ' ', '__proto__', 'constructor', '../..', '\u0000', '\u202e', '=1+1', '<script>', 'a'.repeat(300), '0x10', 'NaN', '1,5', '٣'];
const ODD_VALUES = [null, true, false, [], {}, [[]], ...ODD_NUMBERS, ...ODD_TEXTS];
const TOKENS = [
  '{', '}', '[', ']', ',', ':', '"', '\\', '\n', '\r\n', '\t', '\ufeff', '\u2028', '1e999', '-', '.', 'null', 'true', 'Infinity', '//', '/*', '"__proto__":{},',
  '"a":1,"a":2,', ';', "'", '""', ',,', '\\u0000', '\\ud800', '[['.repeat(40),
];

/** Repeatable random numbers. */
export function numbersFrom(seed) {
  const next = seedrandom.tychei(String(seed));
  return { next, below: (n) => Math.floor(next() * n), oneOf: (values) => values[Math.floor(next() * values.length)] };
}

/** @param text to change @param others to take pieces from @param words that the format knows */
export function mutated(text, others, words, random) {
  let result = text;
  for (let times = 1 + random.below(4); times > 0; times--) result = once(result, others, words, random);
  return result;
}

function once(text, others, words, random) {
  const at = random.below(text.length + 1);
  const to = Math.min(text.length, at + 1 + random.below(random.next() < 0.8 ? 8 : 200));
  switch (random.below(9)) {
    case 0: return text.slice(0, at) + text.slice(to);
    case 1: return text.slice(0, at) + String.fromCharCode(random.below(random.next() < 0.7 ? 128 : 65_536)) + text.slice(to);
    case 2: return text.slice(0, at) + random.oneOf(TOKENS) + text.slice(at);
    case 3: return text.slice(0, to) + text.slice(at, to).repeat(1 + random.below(3)) + text.slice(to);
    case 4: return withOddNumber(text, random);
    case 5: return splice(text, random.oneOf(others), random);
    case 6: return text.slice(0, at);
    default: return inTree(text, words, random) ?? text.slice(0, at) + random.oneOf(words) + text.slice(to);
  }
}

function withOddNumber(text, random) {
  const numbers = [...text.matchAll(/-?\d+(\.\d+)?/g)];
  if (numbers.length === 0) return text;
  const found = random.oneOf(numbers);
  return text.slice(0, found.index) + random.oneOf([...ODD_NUMBERS, Number(found[0]) * 1000, -Number(found[0])]) + text.slice(found.index + found[0].length);
}

function splice(text, other, random) {
  const from = random.below(other.length + 1);
  return text.slice(0, random.below(text.length + 1)) + other.slice(from, from + random.below(other.length)) + text.slice(random.below(text.length + 1));
}

/** The text with one value of its tree replaced, removed, renamed or moved; null where it is no JSON. */
function inTree(text, words, random) {
  let root;
  try {
    root = JSON.parse(text);
  } catch {
    return null;
  }
  const places = [];
  const walk = (value) => {
    if (typeof value !== 'object' || value === null) return;
    for (const key of Object.keys(value)) {
      places.push([value, key]);
      walk(value[key]);
    }
  };
  walk(root);
  if (places.length === 0) return JSON.stringify(random.oneOf(ODD_VALUES));
  const [parent, key] = random.oneOf(places);
  const [otherParent, otherKey] = random.oneOf(places);
  switch (random.below(5)) {
    case 0: parent[key] = random.oneOf(ODD_VALUES); break;
    case 1: if (Array.isArray(parent)) parent.splice(Number(key), 1); else delete parent[key]; break;
    case 2: if (!Array.isArray(parent)) { parent[random.oneOf(words)] = parent[key]; delete parent[key]; } break;
    case 3: try { parent[key] = structuredClone(otherParent[otherKey]); } catch { return null; } break;
    default: if (Array.isArray(parent)) parent.push(structuredClone(parent[key])); else parent[random.oneOf(words)] = random.oneOf(ODD_VALUES);
  }
  return JSON.stringify(root, null, random.below(3));
}
