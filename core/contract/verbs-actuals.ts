/** Actual figures of jobs, and reports on them. */
import { z } from 'zod';
import { JobActuals, KeptActuals } from '../output/job-actuals.ts';
import { Reports } from '../production/reports.ts';
import { id, token, type Verb } from './parts.ts';

export const ACTUALS_VERBS = {
  'actuals:find': { request: z.strictObject({ jobId: id }), reply: KeptActuals.nullable() },
  /** For the last saved state of the job; its estimate is stored with them. */
  'actuals:keep': { request: z.strictObject({ jobId: id, actuals: JobActuals }), reply: KeptActuals },
  'actuals:remove': { request: z.strictObject({ jobId: id }), reply: z.strictObject({}) },
  'reports:read': { request: z.strictObject({}), reply: Reports },
  /** Writes them as spreadsheet tables into a folder. */
  'reports:save': {
    request: z.strictObject({ folder: token }),
    reply: z.strictObject({ fileNames: z.array(z.string()) }),
  },
  /** The job of a code from a hand scanner; null where the archive does not know it. */
  'job:scanned': {
    request: z.strictObject({ text: z.string().max(2000) }),
    reply: z.strictObject({ id }).nullable(),
  },
} as const satisfies Record<string, Verb>;
