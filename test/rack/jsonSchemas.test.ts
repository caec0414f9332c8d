import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { jsonSchemas } from '../../lib/rack/index.js';

const schemas = jsonSchemas();
const committed = (name: string): string => (
  readFileSync(join(__dirname, `../../lib/rack/schema/${name}.schema.json`), 'utf8')
);

type Node = Record<string, unknown>;

/** Every object schema in a schema, with the path to it. */
function objects(node: unknown, path: string): [string, Node][] {
  if (typeof node !== 'object' || node === null) {
    return [];
  }
  const inner = Object.entries(node).flatMap(([key, value]) => objects(value, `${path}/${key}`));
  return 'properties' in node && 'additionalProperties' in node ? [[path, node as Node], ...inner] : inner;
}

for (const [name, schema] of Object.entries(schemas)) {
  describe(`the JSON Schema of the ${name} file`, () => {
    it('is committed as the code makes it (else build and run test/tools/writeSchemas.mjs)', () => {
      expect(committed(name)).toBe(`${JSON.stringify(schema, null, 2)}\n`);
    });

    it('explains every key', () => {
      const unexplained = objects(schema, '').flatMap(([path, node]) => (
        Object.entries(node.properties as Node)
          .filter(([, property]) => typeof (property as Node).description !== 'string')
          .map(([key]) => `${path} ${key}`)
      ));
      expect(unexplained).toEqual([]);
    });

    it('allows no unknown keys in any object', () => {
      const open = objects(schema, '').filter(([, node]) => node.additionalProperties !== false);
      expect(open.map(([path]) => path)).toEqual([]);
    });

    it('gives the unit in the description of every key that carries one', () => {
      const UNITS: [ending: RegExp, unit: RegExp][] = [
        [/MicroOhm$/i, /µΩ/], [/MilliOhm$/, /mΩ/], [/Mm$/, /\bmm\b/], [/Kw$/, /\bkW\b/], [/[a-z]C$/, /°C/],
        [/Percent$/, /per cent|percentile/], [/PerK$/, /K\b/], [/setV$|LoadV$/, /\bV\b/],
        [/ContactA$|CurrentA$/, /\bA\b/], [/Kg$|KgPerM3$/, /kg/], [/riseK$|RiseK$/, /\bK\b/],
      ];
      const silent = objects(schema, '').flatMap(([, node]) => (
        Object.entries(node.properties as Node).filter(([key, property]) => UNITS.some(([ending, unit]) => (
          ending.test(key) && !unit.test(String((property as Node).description))
        ))).map(([key]) => key)
      ));
      expect(silent).toEqual([]);
    });
  });
}
