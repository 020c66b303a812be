/** The watched folder of this machine, and what the program finds on it. */
import { z } from 'zod';
import { id, token, type Verb } from './parts.ts';

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

/** Heavy work of the seats of a shared archive, and the machines that do it. */
const QueueState = z.strictObject({
  /** The machine of each worker. */
  workers: z.array(z.string()),
  tasks: z.array(
    z.strictObject({
      id,
      title: z.string(),
      askedBy: z.string(),
      /** When it was asked for. */
      at: z.string(),
      state: z.enum(['waiting', 'running', 'done', 'canceled', 'failed']),
      tries: z.number().int().nonnegative(),
      /** What happened to it, in sentences. */
      notes: z.array(z.string()),
    }),
  ),
});

/** Addresses without passwords. */
const ArchiveSetting = z.strictObject({
  now: z.string(),
  /** Of a shared archive. */
  vault: z.string().nullable(),
  /** What was selected on screen; null: the usual one. */
  next: z.strictObject({ place: z.string(), vault: z.string().nullable() }).nullable(),
  /** PANELWRIGHT_ARCHIVE overrides the selected one. */
  isSetAtStart: z.boolean(),
});

export const MACHINE_VERBS = {
  'app:doctor': { request: z.strictObject({}), reply: z.array(DoctorLine) },
  'archive:setting': { request: z.strictObject({}), reply: ArchiveSetting },
  /** For the next start: an address with the folder of its vault, a folder, or with neither the usual one. */
  'archive:select': {
    request: z.strictObject({ address: z.string().max(1000).nullable(), folder: token.nullable() }),
    reply: ArchiveSetting,
  },
  /** Null where the archive is not shared, or its queue cannot be reached. */
  'queue:state': { request: z.strictObject({}), reply: QueueState.nullable() },
  'queue:cancel': { request: z.strictObject({ id }), reply: z.strictObject({ isCanceled: z.boolean() }) },
  'watch:state': { request: z.strictObject({}), reply: WatchState },
  'watch:set': { request: z.strictObject({ folder: token.nullable() }), reply: WatchState },
} as const satisfies Record<string, Verb>;
