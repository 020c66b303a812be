/** Jobs in the archive, the shop's settings for new jobs, and files that the user selects. */
import { z } from 'zod';
import { Job } from '../job/schema.ts';
import { JOB_PROGRESS } from '../output/job-progress.ts';
import { Chosen, Deletion, id, Picture, token, type Verb } from './parts.ts';
import { ShopItem, ShopItemKind, ShopItems } from './shop-items.ts';

export const JobSummary = z.strictObject({
  id,
  number: z.string(),
  name: z.string(),
  customer: z.string(),
  /** Of its first vehicle. */
  unitNumber: z.string(),
  vehicleCount: z.number().int().positive(),
  revision: z.number().int().positive(),
  createdAt: z.string(),
  updatedAt: z.string(),
  outputCount: z.number().int().nonnegative(),
  /** Its progress, derived from its outputs. */
  progress: z.enum(JOB_PROGRESS),
  /** The date that the shop entered. */
  installedOn: z.iso.date().nullable(),
  /** Not in the usual list since then. */
  archivedAt: z.string().nullable(),
});
export type JobSummary = z.infer<typeof JobSummary>;

export const JOB_ORDERS = ['number', 'name', 'customer', 'unitNumber', 'updatedAt', 'progress'] as const;
/** Among equal ones the later save comes last, or first in descending order. */
export const JobOrder = z.strictObject({ by: z.enum(JOB_ORDERS), isDescending: z.boolean() });
export type JobOrder = z.infer<typeof JobOrder>;

/** Jobs of the usual list, those that were archived, or both. */
export const ArchiveChoice = z.enum(['active', 'archived', 'all']);
export type ArchiveChoice = z.infer<typeof ArchiveChoice>;

/** Who has a job open to edit it. */
export const JobHolder = z.strictObject({
  person: z.string(),
  machine: z.string(),
  since: z.string(),
  isHere: z.boolean(),
  askedBy: z.string().optional(),
});
export type JobHolder = z.infer<typeof JobHolder>;

const OpenedJob = z.strictObject({
  job: Job,
  revision: z.number().int().nonnegative(),
  /** Why the job may only be read. */
  lockedBy: z.enum(['another-window', 'read-only-archive']).optional(),
  /** Of that window. */
  holder: JobHolder.optional(),
});

/** What becomes of a job that arrives where one of its number, or the same one, is already. */
export const ImportChoice = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('replace') }),
  z.strictObject({ kind: z.literal('keep-both'), number: z.string().min(1).max(200) }),
]);
export type ImportChoice = z.infer<typeof ImportChoice>;

export const JobImport = z.discriminatedUnion('state', [
  z.strictObject({ state: z.literal('imported'), job: JobSummary }),
  z.strictObject({
    state: z.literal('there-already'),
    there: JobSummary,
    arriving: z.strictObject({ number: z.string(), name: z.string(), customer: z.string() }),
    /** One that no job of the archive has. */
    freeNumber: z.string(),
  }),
]);
export type JobImport = z.infer<typeof JobImport>;

export const JOB_VERBS = {
  'app:info': {
    request: z.strictObject({}),
    reply: z.strictObject({
      version: z.string(),
      archiveFolder: z.string(),
      host: z.enum(['desktop', 'browser']),
      today: z.iso.date(),
    }),
  },

  'job:list': {
    request: z.strictObject({
      text: z.string().max(1000).optional(),
      /** Exactly this one. */
      customer: z.string().optional(),
      changedFrom: z.iso.date().optional(),
      changedTo: z.iso.date().optional(),
      progress: z.enum(JOB_PROGRESS).optional(),
      /** Absent: all. */
      archive: ArchiveChoice.optional(),
      /** Absent: by the last change, the latest first. */
      order: JobOrder.optional(),
      limit: z.number().int().min(1).max(1000).optional(),
      offset: z.number().int().nonnegative().optional(),
    }),
    /** `total`: of all jobs that the request leaves, of which the reply holds `limit` from `offset` on. */
    reply: z.strictObject({ jobs: z.array(JobSummary), total: z.number().int().nonnegative() }),
  },
  /** Those that were opened last in a window, the latest first. */
  'job:recent': { request: z.strictObject({}), reply: z.array(JobSummary) },
  /** `takeOver` edits a job that another window holds; that window may only read it from then on. */
  'job:open': {
    request: z.strictObject({ id, takeOver: z.boolean().optional() }),
    reply: OpenedJob,
  },
  'job:save': {
    request: z.strictObject({ job: Job, baseRevision: z.number().int().nonnegative() }),
    reply: z.strictObject({ revision: z.number().int().positive() }),
  },
  /** The screens have left the job: its lock is given up. */
  'job:close': { request: z.strictObject({ id }), reply: z.strictObject({}) },
  /** A job as it is saved now, to be read. */
  'job:read': { request: z.strictObject({ id }), reply: OpenedJob },
  /** What has become of an open job: its revision, absent where it was deleted, and who has it open to edit it. */
  'job:news': {
    request: z.strictObject({ id }),
    reply: z.strictObject({ revision: z.number().int().positive().optional(), holder: JobHolder.optional() }),
  },
  /** Lets the user who has the job open know that another would like to edit it. */
  'job:ask': { request: z.strictObject({ id }), reply: z.strictObject({}) },
  /** How many changes of the archive main has heard of: another number than before means that something is new. */
  'archive:changes': {
    request: z.strictObject({}),
    reply: z.strictObject({ count: z.number().int().nonnegative() }),
  },
  /** Takes a job out of the usual list, or back into it; nothing of it is changed. */
  'job:archive': { request: z.strictObject({ id, isArchived: z.boolean() }), reply: JobSummary },
  /** The day on which its panels were installed; null removes it. A day that has not come yet is refused. */
  'job:installed': { request: z.strictObject({ id, on: z.iso.date().nullable() }), reply: JobSummary },
  'job:duplicate': { request: z.strictObject({ id, number: z.string().min(1) }), reply: JobSummary },
  /** Puts the demo job and its artwork into the archive, or finds the one already there. */
  'job:demo': { request: z.strictObject({}), reply: JobSummary },
  /** What would go with these jobs. */
  'job:deletion': {
    request: z.strictObject({ ids: z.array(id).min(1).max(10_000) }),
    reply: Deletion,
  },
  /** Deletes jobs with their outputs, and the files that nothing else names. */
  'job:delete': {
    request: z.strictObject({ ids: z.array(id).min(1).max(10_000) }),
    reply: Deletion,
  },
  'job:export': {
    request: z.strictObject({ id, folder: token }),
    reply: z.strictObject({ fileName: z.string() }),
  },
  /** Without it, a job that the archive has already is not imported, and the reply says so. */
  'job:import': {
    request: z.strictObject({ file: token, choice: ImportChoice.optional() }),
    reply: JobImport,
  },
  'job:thumbnail': { request: z.strictObject({ id }), reply: Picture.nullable() },

  /** What the shop keeps for its next job. Each of these answers with all of it, the latest first. */
  'shop:list': { request: z.strictObject({}), reply: ShopItems },
  /**
   * `baseRevision`: how often a shared roll plan had been kept when this window read it, 0 for a new one. Where another
   * window has kept it since, nothing is kept and the problem is `plan-changed-elsewhere`.
   */
  'shop:keep': {
    request: z.strictObject({ item: ShopItem, baseRevision: z.number().int().nonnegative().optional() }),
    reply: ShopItems,
  },
  'shop:remove': {
    request: z.strictObject({ kind: ShopItemKind, id }),
    reply: ShopItems,
  },

  /** Several where artwork is selected; none where the user closed the dialog. */
  'file:choose': {
    request: z.strictObject({ purpose: z.enum(['artwork', 'job-bundle']) }),
    reply: z.array(Chosen),
  },

  'folder:choose': { request: z.strictObject({ title: z.string().max(200) }), reply: Chosen.nullable() },
} as const satisfies Record<string, Verb>;
