/**
 * What the screens may ask of main. This one table yields the desktop's preload and handlers, the loopback
 * host's routes, and the client that the screens call: a verb that is not here cannot be asked for, and a
 * message that does not fit its schema is refused on arrival.
 *
 * A verb with `progress` is long work: it reports as it goes and can be cancelled. Files never travel as
 * paths from the screens; main hands out a token for each file or folder that the user chose.
 */
import { z } from 'zod';
import { ArtworkScan } from '../checks/scan/schema.ts';
import { Finding } from '../findings/finding.ts';
import { ArtworkReference, Job } from '../job/schema.ts';
import { PageBox } from '../measure/page-box.ts';
import { SHEET_KINDS, SheetKind } from '../output/sheet-kind.ts';
import { MeasuredCoverage } from '../production/job-coverage.ts';
import type { JobProduction } from '../production/job-production.ts';
import { FilmGroup } from '../production/shared-film.ts';
import { MOST_SHARED_JOBS } from '../production/shared-roll-record.ts';
import type { SharedRolls } from '../production/shared-rolls.ts';
import type { PlanAnswer } from '../seams/plan-answer.ts';
import { RollPlacement } from '../shop/rolls.ts';
import { OutputVerification } from '../verify/output-verification.ts';
import { VerificationReport } from '../verify/verification-report.ts';
import { ShopItem, ShopItemKind, ShopItems } from './shop-items.ts';

const MAX_PX = 4096;

/** Large derived values are typed by the compiler on both ends; on arrival it is enough that they are objects. */
const isRecord = (value: unknown): boolean => typeof value === 'object' && value !== null;

const id = z.string().min(1).max(200);
const token = z.string().min(16).max(200);
const rect = z.strictObject({
  xMm: z.number(),
  yMm: z.number(),
  widthMm: z.number().positive(),
  heightMm: z.number().positive(),
});

export const Chosen = z.strictObject({
  token,
  /** What the person sees: the file's or folder's name, never used as a path. */
  name: z.string(),
});

/** A page of an artwork, in drawn mm from the top left corner of the box in use. */
export const ArtworkPageFacts = z.strictObject({
  number: z.number().int().positive(),
  /** Where the page holds artwork. */
  extent: rect,
  boxes: z.record(PageBox, rect),
  rotate: z.number(),
  userUnit: z.number(),
});

export const ArtworkFacts = z.strictObject({
  reference: ArtworkReference,
  /** Pages that can be used. */
  pages: z.array(ArtworkPageFacts),
  /** What an operator should know before trusting the pages, those too that cannot be used. */
  remarks: z.array(Finding),
  /** What the pages hold, for core/checks; absent where they were not looked through. */
  scan: ArtworkScan.optional(),
  /** Pages that cannot. */
  problems: z.array(
    z.strictObject({ page: z.number().int(), code: z.string(), message: z.string(), remedy: z.string() }),
  ),
});

export const JobSummary = z.strictObject({
  id,
  number: z.string(),
  name: z.string(),
  customer: z.string(),
  unitNumber: z.string(),
  revision: z.number().int().positive(),
  createdAt: z.string(),
  updatedAt: z.string(),
  outputCount: z.number().int().nonnegative(),
});

export const OutputFile = z.strictObject({
  name: z.string(),
  kind: z.enum(['panel', 'strip', 'manifest', ...SHEET_KINDS]),
  sha256: z.string(),
  sizeBytes: z.number(),
  panelId: z.string().optional(),
  panelLabel: z.string().optional(),
});

export const OutputSummary = z.strictObject({
  id: z.number().int().positive(),
  kind: z.enum(['output', 'reprint']),
  reprintOf: z.number().int().optional(),
  reason: z.string(),
  at: z.string(),
  programVersion: z.string(),
  folder: z.string(),
  files: z.array(OutputFile),
  /** Whether the files were verified to be the artwork; only then are they released for production. */
  verification: OutputVerification,
});

/** A picture as PNG bytes, with what it could not show. */
export const Picture = z.strictObject({
  png: z.instanceof(Uint8Array<ArrayBufferLike>),
  widthPx: z.number().int().positive(),
  heightPx: z.number().int().positive(),
});

export const Progress = z.strictObject({
  /** What is being done, for people. */
  what: z.string(),
  done: z.number().nonnegative(),
  total: z.number().positive(),
});

const OpenedJob = z.strictObject({
  job: Job,
  revision: z.number().int().nonnegative(),
  /** Set where another window or program has this job open: it may be read, and saved only as a copy. */
  lockedBy: z.string().optional(),
});

const sharedJobIds = z.array(id).min(1).max(MOST_SHARED_JOBS);
const sharedPlan = {
  jobIds: sharedJobIds,
  locked: z.array(RollPlacement),
  places: z.array(RollPlacement).optional(),
};

interface Verb {
  readonly request: z.ZodType;
  readonly reply: z.ZodType;
}

export const CONTRACT = {
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
      changedFrom: z.iso.date().optional(),
      changedTo: z.iso.date().optional(),
      limit: z.number().int().min(1).max(1000).optional(),
      offset: z.number().int().nonnegative().optional(),
    }),
    reply: z.array(JobSummary),
  },
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
  'job:duplicate': { request: z.strictObject({ id, number: z.string().min(1) }), reply: JobSummary },
  /** Puts the demo job and its artwork into the archive, or finds the one already there. */
  'job:demo': { request: z.strictObject({}), reply: JobSummary },
  'job:export': {
    request: z.strictObject({ id, folder: token }),
    reply: z.strictObject({ fileName: z.string() }),
  },
  'job:import': { request: z.strictObject({ file: token }), reply: JobSummary },
  'job:thumbnail': { request: z.strictObject({ id }), reply: Picture.nullable() },

  /** What the shop keeps for its next job. Each of these answers with all of it, the latest first. */
  'shop:list': { request: z.strictObject({}), reply: ShopItems },
  'shop:keep': { request: z.strictObject({ item: ShopItem }), reply: ShopItems },
  'shop:remove': {
    request: z.strictObject({ kind: ShopItemKind, id }),
    reply: ShopItems,
  },

  /** Undefined where the user closed the dialog without choosing. */
  'file:choose': {
    request: z.strictObject({ purpose: z.enum(['artwork', 'job-bundle']) }),
    reply: Chosen.nullable(),
  },
  'folder:choose': { request: z.strictObject({ title: z.string().max(200) }), reply: Chosen.nullable() },
  'folder:open': {
    request: z.strictObject({ outputId: z.number().int().positive() }),
    reply: z.strictObject({}),
  },

  /** Answers with the pages only; what they hold is asked for afterwards. */
  'artwork:import': {
    request: z.strictObject({ file: token, password: z.string().max(1000).optional(), box: PageBox }),
    reply: ArtworkFacts,
  },
  'artwork:facts': {
    /**
     * `isBrief`: the pages only, at once, without looking through what they hold. A password that fits is remembered
     * until the program ends.
     */
    request: z.strictObject({
      reference: ArtworkReference,
      isBrief: z.boolean().optional(),
      password: z.string().max(1000).optional(),
    }),
    reply: ArtworkFacts,
  },
  /** A window of a page in drawn mm, `widthPx` wide. */
  'artwork:picture': {
    request: z.strictObject({
      reference: ArtworkReference,
      page: z.number().int().positive(),
      window: rect,
      widthPx: z.number().int().min(1).max(MAX_PX),
    }),
    reply: Picture,
  },

  /** Where the seams of a side could go, and why. */
  'layout:suggest': {
    request: z.strictObject({
      job: Job,
      sideId: id,
      layouts: z.enum(['sections', 'one-way']),
      otherRollWidthsMm: z.array(z.number().positive().max(10_000)).max(10),
    }),
    reply: z.custom<PlanAnswer>(isRecord),
  },
  /** Roll plan, drying clock and estimates of a job. */
  'production:derive': {
    /** `measured`: of this job's panels, see `coverage:measure`. */
    request: z.strictObject({ job: Job, measured: MeasuredCoverage.optional() }),
    reply: z.custom<JobProduction>(isRecord),
  },

  /** Ink coverage of every panel, computed from the artwork. */
  'ink:measure': { request: z.strictObject({ job: Job }), reply: MeasuredCoverage },

  /** Which of the jobs print on one film with one printer, and a sentence for each that does not go with the first. */
  'rolls:films': {
    request: z.strictObject({ jobIds: sharedJobIds }),
    reply: z.strictObject({ groups: z.array(FilmGroup), apart: z.array(z.string()) }),
  },
  /**
   * Lays jobs of one film on the rolls of the first. `places`: where all panels lie already, so that nothing is laid
   * anew and the plan is checked as it is.
   */
  'rolls:share': {
    request: z.strictObject(sharedPlan),
    reply: z.custom<SharedRolls>(isRecord),
  },
  /** Writes the sheet of a shared plan into a folder. */
  'rolls:write': {
    request: z.strictObject({ ...sharedPlan, folder: token }),
    reply: z.strictObject({ fileName: z.string() }),
  },

  'output:write': {
    request: z.strictObject({
      jobId: id,
      folder: token,
      /** Panels to write; absent: all. */
      panelIds: z.array(id).optional(),
      sheets: z.array(SheetKind),
      /** Whether the panels are verified once they are written; absent: they are. */
      isVerified: z.boolean().optional(),
    }),
    reply: OutputSummary,
  },
  'output:list': { request: z.strictObject({ jobId: id }), reply: z.array(OutputSummary) },
  /** What the verification of an output found, in full; null where it was not verified. */
  'output:verification': {
    request: z.strictObject({ outputId: z.number().int().positive() }),
    reply: VerificationReport.nullable(),
  },
  /** Verifies the files of an output again, where they lie. */
  'output:verify': {
    request: z.strictObject({ outputId: z.number().int().positive() }),
    reply: OutputVerification,
  },
  /** Where a panel of an output differs from the artwork; null where there is no such picture. */
  'output:difference': {
    request: z.strictObject({ outputId: z.number().int().positive(), panelLabel: z.string() }),
    reply: Picture.nullable(),
  },
  'output:reprint': {
    request: z.strictObject({
      outputId: z.number().int().positive(),
      panelLabels: z.array(z.string()).min(1),
      reason: z.string().min(1).max(10_000),
      folder: token,
      /** Papers for the reprinted panels alone. */
      sheets: z.array(SheetKind),
    }),
    /**
     * `differences` holds a sentence for every panel that is not byte-identical to the first time, `remarks` what there
     * is to say about the papers.
     */
    reply: z.strictObject({
      output: OutputSummary,
      differences: z.array(z.string()),
      remarks: z.array(z.string()),
    }),
  },
  /** First page of a file of an output, as it will print. */
  'output:picture': {
    request: z.strictObject({
      outputId: z.number().int().positive(),
      name: z.string(),
      page: z.number().int().positive(),
      widthPx: z.number().int().min(1).max(MAX_PX),
    }),
    reply: Picture.nullable(),
  },
  /** A page of a sheet as it will print, made from the job as given. */
  'sheet:preview': {
    request: z.strictObject({
      job: Job,
      kind: SheetKind.exclude(['table']),
      page: z.number().int().positive(),
      widthPx: z.number().int().min(1).max(MAX_PX),
    }),
    reply: z.strictObject({ pageCount: z.number().int().positive(), picture: Picture }),
  },
} as const satisfies Record<string, Verb>;

export type ContractVerb = keyof typeof CONTRACT;
export type ContractRequest<V extends ContractVerb> = z.infer<(typeof CONTRACT)[V]['request']>;
export type ContractReply<V extends ContractVerb> = z.infer<(typeof CONTRACT)[V]['reply']>;
export type Progress = z.infer<typeof Progress>;
export type Picture = z.infer<typeof Picture>;
export type Chosen = z.infer<typeof Chosen>;
export type ArtworkFacts = z.infer<typeof ArtworkFacts>;
export type ArtworkPageFacts = z.infer<typeof ArtworkPageFacts>;
export type JobSummary = z.infer<typeof JobSummary>;
export type OutputFile = z.infer<typeof OutputFile>;
export type OutputSummary = z.infer<typeof OutputSummary>;
