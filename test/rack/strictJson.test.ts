import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ProblemLog } from '../../lib/rack/text/problemLog.js';
import { readStrictJson } from '../../lib/rack/text/strictJson.js';
import { whereOf } from './fixtures.js';

function read(text: string): { value: unknown; problems: string[] } {
  const log = new ProblemLog('f.json');
  const value = readStrictJson(text, log);
  return { value, problems: log.problems.map((problem) => `${whereOf(problem)}: ${problem.found}; ${problem.allowed}`) };
}

const parses = (text: string): boolean => {
  try {
    JSON.parse(text);
    return true;
  } catch {
    return false;
  }
};

describe('JSON text', () => {
  it('gives the value JSON.parse gives, for any value and indentation', () => {
    fc.assert(fc.property(fc.jsonValue({ maxDepth: 6 }), fc.integer({ min: 0, max: 4 }), (value, indent) => {
      const text = JSON.stringify(value, null, indent);
      fc.pre(!text.includes('"__proto__"'));
      expect(read(text)).toEqual({ value: JSON.parse(text), problems: [] });
    }));
  });

  it('is accepted exactly where JSON.parse accepts it, with one character changed anywhere', () => {
    const texts = ['{"a": [1, -2.5e3, "x\\n\\u00e9", true, null], "b": {"c": {}}}', '[[], {"k": ""}, 0.1, 10]'];
    const edit = fc.tuple(fc.constantFrom(...texts), fc.nat(60), fc.constantFrom(...'{}[]",:0e-.+tx\\ \n\t/', ''));
    fc.assert(fc.property(edit, ([text, at, character]) => {
      const changed = text.slice(0, at) + character + text.slice(at + 1);
      // Two equal keys are the one point where this reader is stricter on these texts.
      const { problems } = read(changed);
      expect(problems.every((problem) => problem.includes('a second time')) || problems.length === 1).toBe(true);
      if (!problems.some((problem) => problem.includes('a second time'))) {
        expect(problems.length === 0).toBe(parses(changed));
      }
    }), { numRuns: 2000 });
  });

  it('may hold one text of a million characters, and is refused above two million', () => {
    expect(read(JSON.stringify('x'.repeat(1_000_000))).problems).toEqual([]);
    expect(read(JSON.stringify('x'.repeat(2_000_000))).problems).toEqual([
      ': 2000002 characters; give a file of at most 2000000 characters',
    ]);
  });

  const BAD: [says: string, text: string, problem: string][] = [
    ['a comma follows the last entry', '{\n  "a": 1,\n}', 'line 3, column 1: "}"; write a key in double quotes'],
    ['a comma follows the last element', '[1,\n]', 'line 2, column 1: "]"; write a number'],
    ['a comma is missing', '{"a": 1\n "b": 2}', 'line 2, column 2: "\\"b\\""; write "," or "}" after a value'],
    ['quotes are single', "{'a': 1}", 'line 1, column 2: "\'a\'"; write a key in double quotes'],
    ['a colon is missing', '{"a" 1}', 'line 1, column 6: "1"; write ":" after the key "a"'],
    ['there is a comment', '{\n  // remark\n  "a": 1}', 'line 2, column 3: "//"; write a key in double quotes'],
    ['a number has a leading point', '[.5]', 'line 1, column 2: ".5"; write a number'],
    ['a number is NaN', '{"a": NaN}', 'line 1, column 7: "NaN"; write a number'],
    ['text is not closed', '["abc\n]', 'line 1, column 2: '],
    ['the text ends early', '{"a": [1, 2', 'line 1, column 12: the end of the file; write "," or "]"'],
    ['there is nothing', '  \n', 'line 2, column 1: the end of the file'],
    ['something follows', '{} {}', 'line 1, column 4: '],
    ['a key is written twice', '{"a": 1,\n "b": {"a": 2}, "a": 3}',
      'line 2, column 17: the key "a" a second time in one object; write each key once'],
    ['a key is written twice, once with an escape', '{"a": 1, "\\u0061": 3}',
      'line 1, column 10: the key "a" a second time'],
    ['a key is __proto__', '{"x": {"__proto__": {}}}',
      'line 1, column 8: the key "__proto__"; this key is not allowed'],
    ['it is nested too deep', `${'['.repeat(5000)}${']'.repeat(5000)}`, 'line 1, column 62: '],
  ];
  for (const [says, text, problem] of BAD) {
    it(`is refused with line and column where ${says}`, () => {
      const { value, problems } = read(text);
      expect(value).toBeUndefined();
      expect(problems).toHaveLength(1);
      expect(problems[0]).toContain(problem);
    });
  }
});

describe('a problem of a path', () => {
  const TEXT = '{\n  "a": {\n    "list": [\n      1, {"odd key": 2}\n    ]\n  }\n}';

  it.each([
    ['', 1, 1], ['a', 2, 3], ['a.list', 3, 5], ['a.list[0]', 4, 7], ['a.list[1]', 4, 10], ['a.list[1]["odd key"]', 4, 11],
    // What is missing has no place: that of the thing around it is given.
    ['a.missing', 2, 3], ['a.list[1].missing', 4, 10], ['a.list[7]', 3, 5], ['missing', 1, 1],
  ])('"%s" stands at line %d, column %d', (path, line, column) => {
    const log = new ProblemLog('f.json');
    readStrictJson(TEXT, log);
    log.add(path, 'this', 'do that');
    expect(log.problems).toEqual([{ file: 'f.json', path, line, column, found: 'this', allowed: 'do that' }]);
  });
});
