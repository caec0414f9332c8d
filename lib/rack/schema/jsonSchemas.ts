import { z } from 'zod';
import { catalogueSchema } from './catalogueSchema.js';
import { copperSchema } from './copperSchema.js';
import { loadHistorySchema } from './loadHistorySchema.js';
import { rackSchema } from './rackSchema.js';
import { studySchema } from './studySchema.js';

/** JSON Schema (draft 2020-12) of each file, as plain data. */
export interface JsonSchemas {
  readonly rack: Readonly<Record<string, unknown>>;
  readonly catalogue: Readonly<Record<string, unknown>>;
  readonly study: Readonly<Record<string, unknown>>;
  readonly loadHistory: Readonly<Record<string, unknown>>;
  readonly copper: Readonly<Record<string, unknown>>;
}

/**
 * JSON Schemas of the rack, catalogue, study, load-over-time and copper files, for editors: every key with its unit and
 * meaning. They check names, types and ranges; what takes more than one key to see (overlaps, totals, unknown names) only
 * the reader checks.
 */
export function jsonSchemas(): JsonSchemas {
  const exported = (title: string, schema: z.ZodType): Readonly<Record<string, unknown>> => {
    // Through text, so that what is returned is plain data that code may compare and write.
    const { $schema, ...rest } = JSON.parse(JSON.stringify(z.toJSONSchema(schema, { io: 'input' })));
    return { $schema, title, ...rest };
  };
  return {
    rack: exported('slotcast rack file', rackSchema),
    catalogue: exported('slotcast equipment catalogue', catalogueSchema),
    study: exported('slotcast study file', studySchema),
    loadHistory: exported('slotcast load over time', loadHistorySchema),
    copper: exported('slotcast copper file', copperSchema),
  };
}
