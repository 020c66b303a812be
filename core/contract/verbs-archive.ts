/** The archive as a whole. */
import { z } from 'zod';
import { Deletion, token, type Verb } from './parts.ts';

const count = z.number().int().nonnegative();

export const ARCHIVE_VERBS = {
  /** Reads everything that the archive keeps; a line for each fault. */
  'archive:check': {
    request: z.strictObject({}),
    reply: z.strictObject({ jobs: count, files: count, faults: z.array(z.string()) }),
  },
  /** Copies the archive into a new folder within the chosen one; `lost` names what the archive itself has no more. */
  'archive:back-up': {
    request: z.strictObject({ folder: token }),
    reply: z.strictObject({ folderName: z.string(), jobs: count, files: count, lost: z.array(z.string()) }),
  },
  /** Files of the vault that no job and no output names. */
  'archive:unused': { request: z.strictObject({}), reply: Deletion },
  /** Removes them. */
  'archive:clean': { request: z.strictObject({}), reply: Deletion },
} as const satisfies Record<string, Verb>;
