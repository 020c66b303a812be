/** JSON Schemas (2020-12) of the files that others read and write, by file name in `assets/`. */
import { z } from 'zod';
import { Job } from '../job/schema.ts';
import { CurrentManifest } from './current-manifest.ts';
import { Manifest } from './manifest.ts';

type JsonSchema = z.core.JSONSchema.BaseSchema;

export const PUBLISHED_SCHEMAS = {
  /** As written by hand: fields with a default may be omitted. */
  'job.schema.json': (): JsonSchema => z.toJSONSchema(Job, { io: 'input' }),
  'current.schema.json': (): JsonSchema => z.toJSONSchema(CurrentManifest),
  'manifest.schema.json': (): JsonSchema => z.toJSONSchema(Manifest),
} as const;

/** The input of a schema's hash: its JSON with sorted keys and no white space, without the hash itself. */
export function schemaText(schema: JsonSchema): string {
  const { schema: _, ...properties } = schema.properties ?? {};
  return JSON.stringify({ ...schema, properties }, keysSorted);
}

const keysSorted = (_key: string, value: unknown): unknown =>
  value && typeof value === 'object' && !Array.isArray(value)
    ? Object.fromEntries(Object.entries(value).sort(([a], [b]) => (a < b ? -1 : 1)))
    : value;
