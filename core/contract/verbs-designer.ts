/** Files for the designer of the artwork. */
import { z } from 'zod';
import { Job } from '../job/schema.ts';
import { token, type Verb } from './parts.ts';

export const DESIGNER_VERBS = {
  /** Writes a panel guide for the designer into a new folder. */
  'guide:write': {
    request: z.strictObject({
      job: Job,
      folder: token,
      /** Finished size ÷ drawn size; absent: as large as fits a page. */
      scale: z.number().min(1).max(1000).optional(),
      isFilePerSide: z.boolean(),
      hasSvg: z.boolean(),
    }),
    reply: z.strictObject({
      folder: z.string(),
      scale: z.number(),
      fileNames: z.array(z.string()),
      remarks: z.array(z.string()),
    }),
  },
  /** Writes what the designer can correct: a report, and a copy of the artwork with the same remarks as annotations. */
  'findings:write': {
    request: z.strictObject({ job: Job, folder: token }),
    reply: z.strictObject({
      folder: z.string(),
      fileNames: z.array(z.string()),
      count: z.number().int().nonnegative(),
      remarks: z.array(z.string()),
    }),
  },
} as const satisfies Record<string, Verb>;
