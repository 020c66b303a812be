/** The watched folder of this machine, and what the program finds on it. */
import { z } from 'zod';
import { token, type Verb } from './parts.ts';

/** One thing that the program needs of its machine. */
export const DoctorLine = z.strictObject({
  what: z.string(),
  isRight: z.boolean(),
  /** One sentence. */
  text: z.string(),
  /** What to do where something is wrong. */
  remedy: z.string().optional(),
});
export type DoctorLine = z.infer<typeof DoctorLine>;

const WatchState = z.strictObject({
  /** Null: none is watched. */
  folder: z.string().nullable(),
  /** What came of the last files, the latest first. */
  sentences: z.array(z.string()),
});

export const MACHINE_VERBS = {
  'app:doctor': { request: z.strictObject({}), reply: z.array(DoctorLine) },
  'watch:state': { request: z.strictObject({}), reply: WatchState },
  'watch:set': { request: z.strictObject({ folder: token.nullable() }), reply: WatchState },
} as const satisfies Record<string, Verb>;
