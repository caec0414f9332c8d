/** Runs the examples of doc comments: `@example expression // result`, numbers compared to the digits shown. */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import * as slotcast from '../../lib/index.js';

interface Example {
  readonly file: string;
  readonly expression: string;
  readonly shown: string;
}

function sources(folder: string): string[] {
  return readdirSync(folder, { withFileTypes: true }).flatMap((entry) =>
    entry.isDirectory() ? sources(join(folder, entry.name)) : entry.name.endsWith('.ts') ? [join(folder, entry.name)] : []);
}

function evaluate(code: string): unknown {
  return new Function(...Object.keys(slotcast), `return (${code});`)(...Object.values(slotcast));
}

/** Examples whose result can be evaluated too; those about a study or a file are for reading. */
const examples: Example[] = sources('lib').flatMap((file) =>
  [...readFileSync(file, 'utf8').matchAll(/\* @example (?:\n \* )?([^\n/]*\)[\w.[\]]*(?: \* 1e6)?);? \/\/ ([^\n]+)/g)]
    .map(([, expression, shown]) => ({ file, expression: expression.replace(/;$/, ''), shown })))
  .filter(({ expression }) => !/\b(binding|ratedKw|units|run|study|summary|sample|excess)\b/.test(expression));

describe('examples in doc comments', () => {
  it('are found', () => expect(examples.length).toBeGreaterThan(18));

  it.each(examples)('$file: $expression', ({ expression, shown }) => {
    const found = evaluate(expression);
    const number = /^[-−]?\d[\d.e+-]*(?:\/\d+)?/.exec(shown)?.[0];
    if (typeof found === 'number' && number !== undefined) {
      const digits = (number.split('.')[1] ?? '').replace(/e.*$/, '').length;
      const wanted = Number(evaluate(number));
      expect(Math.abs(found - wanted)).toBeLessThanOrEqual(number.includes('/') ? 1e-12 : 0.5000001 * 10 ** -digits + 1e-9);
    } else if (/^[[{'t]/.test(shown)) {
      const wanted = evaluate(shown);
      const round = (value: unknown): unknown => JSON.parse(JSON.stringify(value, (_, v: unknown) =>
        typeof v === 'number' ? Number(v.toFixed(7)) : v));
      expect(round(found)).toEqual(round(wanted));
    } else {
      throw new Error(`cannot compare with ${shown}`);
    }
  });
});
