/** JSON Schema (2020-12) of the files that others read and write, by the name of the file in `assets/`. */
import { z } from 'zod';
import { Job } from '../job/schema.ts';
import { Manifest } from './manifest.ts';

export const PUBLISHED_SCHEMAS: Readonly<Record<string, () => object>> = {
  /** As written by hand: what has a default may be left out. */
  'job.schema.json': () => z.toJSONSchema(Job, { io: 'input' }),
  'manifest.schema.json': () => z.toJSONSchema(Manifest),
};
