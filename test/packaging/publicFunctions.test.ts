/** Whatever numbers a public function is given, none that is not finite comes out: it throws instead. */
import { expect, it } from 'vitest';
import * as slotcast from '../../lib/index.js';
import { randomStream } from '../../lib/draw/randomStream.js';

const ODD = [Number.NaN, Infinity, -Infinity, -1, 0, 1e308, 1e-308, -300, 300, 0.5, 1e6, 1e-6, 3];

/** Asynchronous ones start threads and browsers: those are tested where they are at home. */
const functions = (Object.entries(slotcast) as [string, unknown][]).filter((entry): entry is [string, (...args: number[]) => unknown] =>
  typeof entry[1] === 'function' && entry[1].constructor.name !== 'AsyncFunction'
  && !/^class\b/.test(Function.prototype.toString.call(entry[1])));

const answered = new Set<string>();

it.each(functions)('%s', (name, run) => {
  const stream = randomStream('odd numbers', 0, 'check');
  for (let turn = 0; turn < 300; turn++) {
    const args = Array.from({ length: Math.max(1, run.length) }, () => ODD[stream.integerBelow(ODD.length)]);
    let answer: unknown;
    try {
      answer = run(...args);
    } catch {
      continue;
    }
    const numbers = numbersOf(answer);
    if (numbers.length > 0) answered.add(name);
    for (const number of numbers) expect(Number.isFinite(number), `${name}(${args.join(', ')})`).toBe(true);
  }
});

function numbersOf(answer: unknown): number[] {
  if (typeof answer === 'number') return [answer];
  return typeof answer === 'object' && answer !== null ? Object.values(answer).filter((value) => typeof value === 'number') : [];
}

// The others take objects and refuse numbers: they were only seen to refuse.
it('some of them take numbers', () => {
  expect([...answered].sort()).toEqual(expect.arrayContaining(['churchillChuNusselt', 'patchMean', 'pressureAtAltitude', 'roundDown']));
  console.log(`${answered.size} of ${functions.length} public functions answered with numbers`);
});
