// Writes lib/rack/schema/*.schema.json from the schemas in the code. Build first: npx tsc -p tsconfig.build.json
import { writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { fileURLToPath } from 'node:url';

const { jsonSchemas } = createRequire(import.meta.url)('../../dist/rack/schema/jsonSchemas.js');

for (const [name, schema] of Object.entries(jsonSchemas())) {
  const file = fileURLToPath(new URL(`../../lib/rack/schema/${name}.schema.json`, import.meta.url));
  writeFileSync(file, `${JSON.stringify(schema, null, 2)}\n`);
}
