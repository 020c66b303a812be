/** The archive as a whole. */
import { z } from 'zod';
import { Deletion, token, type Verb } from './parts.ts';

const count = z.number().int().nonnegative();

export const ARCHIVE_VERBS = {
  /** Reads everything in the archive; one line per fault. */
  'archive:check': {
    request: z.strictObject({}),
    reply: z.strictObject({ jobs: count, files: count, faults: z.array(z.string()) }),
  },
  /** Copies the archive into a new folder inside the selected one; `lost` lists what the archive itself lacks. */
  'archive:back-up': {
    request: z.strictObject({ folder: token }),
    reply: z.strictObject({ folderName: z.string(), jobs: count, files: count, lost: z.array(z.string()) }),
  },
  /** Files of the vault that no job or output uses. */
  'archive:unused': { request: z.strictObject({}), reply: Deletion },
  /** Removes them. */
  'archive:clean': { request: z.strictObject({}), reply: Deletion },
} as const satisfies Record<string, Verb>;
