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

/** Jobs of the usual list, archived jobs, or both. */
export const ArchiveChoice = z.enum(['active', 'archived', 'all']);
export type ArchiveChoice = z.infer<typeof ArchiveChoice>;

/** Who has a job open for editing. */
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
  /** Why the job is read-only. */
  lockedBy: z.enum(['another-window', 'read-only-archive']).optional(),
  /** The user of that window. */
  holder: JobHolder.optional(),
});

/** What to do with an imported job when the archive has one with its number, or the same job. */
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
    /** A number that no job in the archive has. */
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
      /** Exact match. */
      customer: z.string().optional(),
      changedFrom: z.iso.date().optional(),
      changedTo: z.iso.date().optional(),
      progress: z.enum(JOB_PROGRESS).optional(),
      /** Absent: all. */
      archive: ArchiveChoice.optional(),
      /** Absent: by last change, latest first. */
      order: JobOrder.optional(),
      limit: z.number().int().min(1).max(1000).optional(),
      offset: z.number().int().nonnegative().optional(),
    }),
    /** `total` counts all matching jobs; the reply holds `limit` of them from `offset` on. */
    reply: z.strictObject({ jobs: z.array(JobSummary), total: z.number().int().nonnegative() }),
  },
  /** Jobs opened last in a window, latest first. */
  'job:recent': { request: z.strictObject({}), reply: z.array(JobSummary) },
  /** `takeOver` edits a job that another window holds; that window becomes read-only. */
  'job:open': {
    request: z.strictObject({ id, takeOver: z.boolean().optional() }),
    reply: OpenedJob,
  },
  'job:save': {
    request: z.strictObject({ job: Job, baseRevision: z.number().int().nonnegative() }),
    reply: z.strictObject({ revision: z.number().int().positive() }),
  },
  /** The screens closed the job: its lock is released. */
  'job:close': { request: z.strictObject({ id }), reply: z.strictObject({}) },
  /** A job as last saved, for reading. */
  'job:read': { request: z.strictObject({ id }), reply: OpenedJob },
  /** State of an open job: its revision (absent where it was deleted), and who has it open for editing. */
  'job:news': {
    request: z.strictObject({ id }),
    reply: z.strictObject({ revision: z.number().int().positive().optional(), holder: JobHolder.optional() }),
  },
  /** Tells the user who has the job open that another would like to edit it. */
  'job:ask': { request: z.strictObject({ id }), reply: z.strictObject({}) },
  /** Number of archive changes known to main: a different number than before means that something is new. */
  'archive:changes': {
    request: z.strictObject({}),
    reply: z.strictObject({ count: z.number().int().nonnegative() }),
  },
  /** Moves a job out of the usual list, or back; the job itself does not change. */
  'job:archive': { request: z.strictObject({ id, isArchived: z.boolean() }), reply: JobSummary },
  /** The date on which its panels were installed; null removes it. A future date is rejected. */
  'job:installed': { request: z.strictObject({ id, on: z.iso.date().nullable() }), reply: JobSummary },
  'job:duplicate': { request: z.strictObject({ id, number: z.string().min(1) }), reply: JobSummary },
  /** Puts the demo job and its artwork into the archive, or finds the existing one. */
  'job:demo': { request: z.strictObject({}), reply: JobSummary },
  /** What would be deleted with these jobs. */
  'job:deletion': {
    request: z.strictObject({ ids: z.array(id).min(1).max(10_000) }),
    reply: Deletion,
  },
  /** Deletes jobs with their outputs, and files that nothing else uses. */
  'job:delete': {
    request: z.strictObject({ ids: z.array(id).min(1).max(10_000) }),
    reply: Deletion,
  },
  'job:export': {
    request: z.strictObject({ id, folder: token }),
    reply: z.strictObject({ fileName: z.string() }),
  },
  /** Without it, a job already in the archive is not imported, and the reply says so. */
  'job:import': {
    request: z.strictObject({ file: token, choice: ImportChoice.optional() }),
    reply: JobImport,
  },
  'job:thumbnail': { request: z.strictObject({ id }), reply: Picture.nullable() },

  /** Items that the shop stores for its next jobs. Each verb returns all of them, latest first. */
  'shop:list': { request: z.strictObject({}), reply: ShopItems },
  /**
   * `baseRevision`: revision of a shared roll plan when this window read it, 0 for a new one. Where another window
   * saved it since, nothing is saved and the problem is `plan-changed-elsewhere`.
   */
  'shop:keep': {
    request: z.strictObject({ item: ShopItem, baseRevision: z.number().int().nonnegative().optional() }),
    reply: ShopItems,
  },
  'shop:remove': {
    request: z.strictObject({ kind: ShopItemKind, id }),
    reply: ShopItems,
  },

  /** Several files for artwork; none where the user closed the dialog. */
  'file:choose': {
    request: z.strictObject({ purpose: z.enum(['artwork', 'job-bundle']) }),
    reply: z.array(Chosen),
  },

  'folder:choose': { request: z.strictObject({ title: z.string().max(200) }), reply: Chosen.nullable() },
} as const satisfies Record<string, Verb>;
