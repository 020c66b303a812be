/** The watched folder of this machine, and the program's self-check. */
import { z } from 'zod';
import { id, token, type Verb } from './parts.ts';

/** One requirement of the program on its machine. */
export const DoctorLine = z.strictObject({
  what: z.string(),
  isRight: z.boolean(),
  /** One sentence. */
  text: z.string(),
  /** The remedy where something is wrong. */
  remedy: z.string().optional(),
});
export type DoctorLine = z.infer<typeof DoctorLine>;

const WatchState = z.strictObject({
  /** Null: no folder is watched. */
  folder: z.string().nullable(),
  /** Results of the last files, latest first. */
  sentences: z.array(z.string()),
});

/** Heavy work from the seats of a shared archive, and the machines that do it. */
const QueueState = z.strictObject({
  /** The machine of each worker. */
  workers: z.array(z.string()),
  tasks: z.array(
    z.strictObject({
      id,
      title: z.string(),
      askedBy: z.string(),
      /** Time of the request. */
      at: z.string(),
      state: z.enum(['waiting', 'running', 'done', 'canceled', 'failed']),
      tries: z.number().int().nonnegative(),
      /** Its history, in sentences. */
      notes: z.array(z.string()),
    }),
  ),
});

/** Addresses without passwords. */
const ArchiveSetting = z.strictObject({
  now: z.string(),
  /** Of a shared archive. */
  vault: z.string().nullable(),
  /** The selection on screen; null: the default. */
  next: z.strictObject({ place: z.string(), vault: z.string().nullable() }).nullable(),
  /** PANELWRIGHT_ARCHIVE overrides the selected one. */
  isSetAtStart: z.boolean(),
});

export const MACHINE_VERBS = {
  'app:doctor': { request: z.strictObject({}), reply: z.array(DoctorLine) },
  'archive:setting': { request: z.strictObject({}), reply: ArchiveSetting },
  /** For the next start: an address with the folder of its vault, a folder, or neither for the default. */
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
