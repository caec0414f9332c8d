import { readFileSync } from 'node:fs';
import { join } from 'node:path';

/** Version of this library, from its package.json. */
export const LIBRARY_VERSION: string = (
  JSON.parse(readFileSync(join(__dirname, '..', '..', 'package.json'), 'utf8')) as { version: string }
).version;
