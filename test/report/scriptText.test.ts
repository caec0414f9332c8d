import { readFileSync } from 'node:fs';
import { Script } from 'node:vm';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { scriptJson, scriptSource } from '../../lib/report/scriptText.js';

describe('data inside a script element', () => {
  it('cannot end the element or open a comment, and reads back the same', () => {
    const hostile = fc.oneof(fc.string(), fc.constantFrom('</script>', '<!--', '<SCRIPT', '\u2028', '\u2029', '"\\'));
    fc.assert(fc.property(fc.array(hostile), (texts) => {
      const json = scriptJson({ texts });
      expect(json).not.toMatch(/[<\u2028\u2029]/);
      expect(JSON.parse(json)).toEqual({ texts });
    }));
  });
});

describe('a script inside a script element', () => {
  it('cannot end the element or open a comment, and computes the same', () => {
    const source = 'var a = "</script>", b = `</SCRIPT x`, c = /<\\/script|<!--/.source, d = "<!-- <script>"; [a, b, c, d]';
    const guarded = scriptSource(source);
    expect(guarded).not.toMatch(/<\/script|<!--/i);
    const run = (text: string) => new Script(text).runInThisContext() as string[];
    const [a, b, c, d] = run(guarded);
    expect([a, b, d]).toEqual(['</script>', '</SCRIPT x', '<!-- <script>']);
    expect(new RegExp(c).test('<!--')).toBe(true);
  });

  it('is needed: the plotting library holds such text, and still parses with it guarded', () => {
    const source = readFileSync(require.resolve('plotly.js-dist-min/plotly.min.js'), 'utf8');
    const guarded = scriptSource(source);
    // Counted, since a failure that prints the text would print megabytes.
    expect(source.match(/<\/script|<!--/gi)?.length).toBeGreaterThan(0);
    expect(guarded.match(/<\/script|<!--/gi)).toBeNull();
    expect(() => new Script(guarded)).not.toThrow();
  });
});
