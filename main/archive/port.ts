/**
 * The archive as the rest of the program sees it: every job with its artwork, its outputs and what the shop keeps.
 * `openArchive` opens either an archive in a folder (an SQLite database beside a vault of files), or one that several
 * seats share (a PostgreSQL database, and a vault on a disk that all of them can reach). This interface fits both.
 *
 * ```ts
 * import { jobEmpty } from '../../core/job/defaults.ts';
 * import { openArchive } from './archive.ts';
 * const { value: archive } = await openArchive(folder);
 * const job = jobEmpty({ id: 'van', number: 'VAN-17', name: 'Van', customer: 'Ours', date: '2026-11-25' });
 * await archive.jobs.save(job, { panelLabels: [], baseRevision: 0, now: '2026-11-25T08:00:00Z' });
 * const found = await archive.jobs.list({ text: 'van 17' });
 * await archive.close();
 * found.map(({ number, revision }) => [number, revision]); // → [['VAN-17', 1]]
 * ```
 *
 * Each call is one transaction: it is done completely when its promise resolves, or not at all. An outcome that the
 * caller must handle, such as an unknown job, is a `Result`. If the store itself refuses, because its disk is full,
 * another program holds it or it is damaged, any call rejects with an `ArchiveFailure`, which `tryArchive` turns into a
 * `Result`.
 */

import type { OutputFile, OutputSummary } from '../../core/contract/output-summary.ts';
import type { PanelNote } from '../../core/contract/panel-note.ts';
import type { Progress } from '../../core/contract/parts.ts';
import type { ShopItem, ShopItems } from '../../core/contract/shop-items.ts';
import type { ArchiveChoice, JobOrder, JobSummary } from '../../core/contract/verbs-jobs.ts';
import type { Job } from '../../core/job/schema.ts';
import { type Problem, type Result, resultProblem } from '../../core/measure/result.ts';
import type { ArtworkComparison } from '../../core/output/artwork-comparison.ts';
import type { JobTook, KeptActuals } from '../../core/output/job-actuals.ts';
import type { JobProgress } from '../../core/output/job-progress.ts';
import type { ProductionRecord } from '../../core/output/production-record.ts';
import type { PhotoFile } from '../../core/photos/photo-file.ts';
import type { StockFacts, StockMovement, StockRoll } from '../../core/shop/stock-roll.ts';
import type { OutputVerification } from '../../core/verify/output-verification.ts';
import type { VerificationReport } from '../../core/verify/verification-report.ts';
import type { HashedSize, HashingTools } from '../files/sha256.ts';

export interface Archive {
  /** The archive's folder, for messages and for files that belong beside it. */
  readonly folder: string;
  /** True where its folder is read-only; each call that would write rejects with `archive-read-only`. */
  readonly isReadOnly: boolean;
  readonly jobs: Jobs;
  readonly outputs: Outputs;
  readonly vault: Vault;
  readonly checks: Checks;
  readonly deletions: Deletions;
  readonly shelf: Shelf;
  readonly notes: Notes;
  readonly stock: Stock;
  readonly actuals: Actuals;
  readonly comparisons: Comparisons;
  readonly openJobs: OpenJobs;
  /**
   * Calls the listener after each change of the archive, by this program or another, until the returned function is
   * called.
   */
  watch(listener: ChangeListener): () => void;
  close(): Promise<void>;
}

export type ChangeListener = () => void;

export interface JobHolder {
  readonly person: string;
  readonly machine: string;
  readonly since: string;
  /** Whether it is the calling window itself. */
  readonly isHere: boolean;
  /** The user who wants to edit the job instead. */
  readonly askedBy?: string;
}

/**
 * Which window has a job open for editing; the others may read it. A window is identified by the id that its program
 * gives it.
 */
export interface OpenJobs {
  /** Opens a job that is free, or takes it over; otherwise returns who has it. */
  take(
    jobId: string,
    clientId: string,
    since: string,
    how?: { readonly isTakingOver?: boolean },
  ): Promise<JobHolder | undefined>;
  holder(jobId: string, clientId: string): Promise<JobHolder | undefined>;
  /** Tells the holder that another user wants to edit the job. */
  ask(jobId: string): Promise<void>;
  release(jobId: string, clientId: string): Promise<void>;
  /** Call this when the window is gone. */
  releaseAll(clientId: string): Promise<void>;
}

export interface StoredJob extends JobSummary {
  /** The document as saved; read it through core/job, which updates older versions. */
  readonly document: string;
}

export interface JobFilter {
  /** Each word must match the beginning of some word of the job, in any order. */
  readonly text?: string | undefined;
  /** Matches exactly this customer. */
  readonly customer?: string | undefined;
  /** Last change, ISO date or date-time, inclusive. */
  readonly changedFrom?: string | undefined;
  readonly changedTo?: string | undefined;
  readonly progress?: JobProgress | undefined;
  /** Absent: all. */
  readonly archive?: ArchiveChoice | undefined;
  /** Absent: by last save, latest first. */
  readonly order?: JobOrder | undefined;
  readonly limit?: number | undefined;
  readonly offset?: number | undefined;
}

export interface JobPage {
  readonly jobs: JobSummary[];
  /** The number of all jobs that match the filter. */
  readonly total: number;
}

export interface JobSave {
  /** A search also finds the job by these labels. */
  readonly panelLabels: readonly string[];
  /**
   * The revision that the edit began from, 0 for a new job. If another user has saved since, nothing is written and the
   * problem is `job-changed-elsewhere`. Absent: overwrites any revision.
   */
  readonly baseRevision?: number | undefined;
  /**
   * Set for a job from a job file, which has no revision. If a window has saved another state since the last save from
   * a file, nothing is written and the problem is `job-saved-in-window`; `replace` writes anyway.
   */
  readonly fromFile?: 'keep' | 'replace' | undefined;
  readonly now: string;
}

export interface Jobs {
  /** Whether a job from a file may replace the archived one; see `fromFile`. */
  tryFile(job: Job): Promise<Result<void, ArchiveProblem>>;
  save(job: Job, save: JobSave): Promise<Result<JobSummary, ArchiveProblem>>;
  list(filter?: JobFilter): Promise<JobSummary[]>;
  /** One page of the list, and the total number of jobs. */
  page(filter: JobFilter): Promise<JobPage>;
  /** Finds a job by its id or number. */
  find(idOrNumber: string): Promise<Result<StoredJob, ArchiveProblem>>;
  /** The job with this number; there is never more than one. */
  withNumber(number: string): Promise<JobSummary | undefined>;
  /** Records that a window has opened a job. */
  noteOpened(id: string, at: string): Promise<void>;
  /** The jobs opened last, latest first. */
  recent(limit: number): Promise<JobSummary[]>;
  /** Removes a job from the usual list, or returns it there where `at` is undefined. */
  archive(id: string, at: string | undefined): Promise<Result<JobSummary, ArchiveProblem>>;
  /** Stores the day on which its panels were installed, or removes it. */
  keepInstalled(id: string, on: string | undefined): Promise<Result<JobSummary, ArchiveProblem>>;
}

/** An archived output: what the screens show of it, and what it was made from. */
export interface ArchivedOutput extends OutputSummary {
  readonly jobId: string;
  /** The job at the time of the output. */
  readonly document: string;
  readonly artworkSha256: string;
}

export interface NewOutput
  extends Omit<ArchivedOutput, 'id' | 'number' | 'verification' | 'files' | 'record'> {
  /** The number reserved for it; absent: the next number of its job. */
  readonly number?: number;
  readonly files: readonly OutputFile[];
}

export interface Outputs {
  /** Reserves the next output number of a job, `atLeast` or higher. */
  reserveNumber(jobId: string, atLeast: number): Promise<number>;
  /** Returns the last number of a job, unless a later one was reserved meanwhile. */
  releaseNumber(jobId: string, number: number): Promise<void>;
  /** Its files must already be in the vault: a listed output has all of its files. */
  keep(output: NewOutput): Promise<ArchivedOutput>;
  /** The outputs of a job, oldest first. */
  list(jobId: string): Promise<ArchivedOutput[]>;
  /** Reprints and patches of all jobs, latest first. */
  latestReprints(limit: number): Promise<ArchivedOutput[]>;
  find(id: number): Promise<Result<ArchivedOutput, ArchiveProblem>>;
  /** The output of a job by its visible number; the job by its id or number. */
  findNumbered(job: string, number: number): Promise<Result<ArchivedOutput, ArchiveProblem>>;
  /** Stores the result of an output's verification, replacing an earlier one, and the sheets that state it. */
  keepVerification(
    id: number,
    verification: OutputVerification,
    report?: VerificationReport,
    sheets?: readonly OutputFile[],
  ): Promise<void>;
  /** Stores what an output was really made with, replacing an earlier record. */
  keepRecord(id: number, record: ProductionRecord): Promise<Result<ArchivedOutput, ArchiveProblem>>;
  /** The full report of the verification; undefined where there is none. */
  verificationReport(id: number): Promise<VerificationReport | undefined>;
}

/** Stores artwork and outputs byte for byte, each under its SHA-256. Rejects with the errors of files. */
export interface Vault {
  /** The vault's folder, for error messages. */
  readonly folder: string;
  /** Copies a file into the vault. */
  add(source: string, tools?: HashingTools): Promise<HashedSize>;
  has(sha256: string): Promise<boolean>;
  /**
   * Whether the content is present and undamaged. If so, no cleaning removes it before a job or output can refer to it.
   */
  hold(sha256: string): Promise<boolean>;
  /** Whether the content is present and still has its hash. */
  state(sha256: string, tools?: HashingTools): Promise<'sound' | 'damaged' | 'absent'>;
  /** The path of the content, whether or not it exists. */
  path(sha256: string): Promise<string>;
}

/** What the shop stores for its next jobs. */
export interface Shelf {
  /** All items, latest first. */
  items(): Promise<ShopItems>;
  /**
   * Stores an item, replacing its earlier state. For a shared roll plan, `baseRevision` is the revision it replaces, 0
   * for a new plan: if another was stored since, nothing is written and the problem is `plan-changed-elsewhere`.
   */
  keep(item: ShopItem, now: string, baseRevision?: number): Promise<Result<void, ArchiveProblem>>;
  remove(kind: ShopItem['kind'], id: string): Promise<void>;
}

/** The shop's notes about panels. Photos must be in the vault before a note refers to them. */
export interface Notes {
  /** The notes of a job, oldest first. */
  list(jobId: string): Promise<PanelNote[]>;
  /** Stores a note with its photos, replacing one with the same id. */
  keep(jobId: string, note: PanelNote): Promise<void>;
  addPhoto(noteId: string, photo: PhotoFile): Promise<Result<PanelNote, ArchiveProblem>>;
  find(noteId: string): Promise<Result<PanelNote, ArchiveProblem>>;
  /** Its photos stay in the vault until the next cleaning. */
  remove(noteId: string): Promise<void>;
}

/** A movement without its number. */
export interface NewMovement {
  readonly rollId: string;
  readonly kind: 'printed' | 'laminated' | 'corrected' | 'scrapped';
  /** How much leaves the roll, or how much was counted on it; the ledger then records the difference. */
  readonly length: { readonly offMm: number } | { readonly countedMm: number };
  readonly note: string;
}

/**
 * Who entered the movement, when, and whether the roll may go below zero. If not, a movement that would do so is
 * refused.
 */
export interface MovementEntry {
  readonly at: string;
  readonly by: string;
  readonly isBelowZeroAllowed?: boolean | undefined;
  /** The unit of lengths in sentences. */
  readonly unit: 'mm' | 'in';
}

/** An output that was printed, with all the rolls that it used. */
export interface PrintedEntry extends MovementEntry {
  readonly jobId: string;
  readonly jobNumber: string;
  readonly outputNumber: number;
  /** Allows an output to be entered as printed again; without it, a repeated entry is a problem. */
  readonly isFurtherPrint?: boolean | undefined;
  readonly movements: readonly (NewMovement & { readonly panelLabels: readonly string[] })[];
  /** Panels of other outputs that were printed in the waste beside these; absent: none. */
  readonly beside?: readonly PrintedBeside[];
}

/** A fill piece uses no additional film; its output counts as printed, with the roll's lot. */
export interface PrintedBeside {
  readonly rollId: string;
  readonly kind: 'printed' | 'laminated';
  readonly jobId: string;
  readonly jobNumber: string;
  readonly outputNumber: number;
  readonly panelLabel: string;
}

/** The shop's rolls and their ledger; ledger entries are only added, never changed. */
export interface Stock {
  /** All rolls, most recently received first. */
  rolls(): Promise<StockRoll[]>;
  /** Finds a roll by its id, or by the code on its label. */
  find(idOrCode: string): Promise<Result<StockRoll, ArchiveProblem>>;
  /** The movements of a roll, oldest first. */
  ledger(rollId: string): Promise<StockMovement[]>;
  /** Adds a roll with its first movement. */
  receive(
    id: string,
    facts: StockFacts,
    lengthMm: number,
    entry: MovementEntry,
  ): Promise<Result<StockRoll, ArchiveProblem>>;
  /** Replaces the facts about a roll; the ledger records the old ones. */
  change(rollId: string, facts: StockFacts, entry: MovementEntry): Promise<Result<StockRoll, ArchiveProblem>>;
  move(movement: NewMovement, entry: MovementEntry): Promise<Result<StockRoll, ArchiveProblem>>;
  /** Enters the counter-entry of a movement. */
  undo(movementId: number, note: string, entry: MovementEntry): Promise<Result<StockRoll, ArchiveProblem>>;
  /** Enters all rolls of an output, or none. */
  enterPrinted(printed: PrintedEntry): Promise<Result<number, ArchiveProblem>>;
  /** How many times an output was entered as printed, not counting entries that were undone completely. */
  printings(jobId: string, outputNumber: number): Promise<number>;
}

/** What corrected artworks change on the panels of a job; the archive stores the files that they refer to. */
export interface Comparisons {
  /** Replaces an earlier comparison of the same two artworks. */
  keep(jobId: string, comparison: ArtworkComparison, at: string): Promise<void>;
  /** All comparisons of a job, latest last. */
  list(jobId: string): Promise<ArtworkComparison[]>;
  /** Removes all comparisons whose corrected artwork is this one. */
  remove(jobId: string, afterSha256: string): Promise<void>;
}

/** The actual figures that people entered for jobs. */
export interface Actuals {
  find(jobId: string): Promise<KeptActuals | undefined>;
  /** Stores them, replacing earlier ones. */
  keep(jobId: string, kept: KeptActuals): Promise<void>;
  remove(jobId: string): Promise<void>;
  /** All of them, latest first. */
  list(): Promise<JobTook[]>;
  /** Jobs that are installed on their vehicles. */
  installed(): Promise<InstalledJob[]>;
}

export interface InstalledJob {
  readonly jobId: string;
  readonly document: string;
  readonly installedOn: string;
}

export interface KeptFile {
  readonly sha256: string;
  readonly name: string;
}

export interface ArchiveReport {
  readonly jobs: number;
  readonly files: number;
  /** Errors reported by the database's own check. */
  readonly databaseTrouble: readonly string[];
  readonly absent: readonly KeptFile[];
  readonly damaged: readonly KeptFile[];
}

export interface Backup {
  readonly jobs: number;
  readonly files: number;
  /** Files that the archive has lost or that are damaged in it, so the copy cannot have them either. */
  readonly lost: readonly KeptFile[];
}

export interface CheckTools {
  readonly signal: AbortSignal;
  readonly report: (progress: Progress) => void;
}

/** Checks and backups of the archive. */
export interface Checks {
  /**
   * The check that opening postponed (`putsOffCheck`), which runs in the background. It resolves to a problem, or
   * undefined where the archive is sound. Absent where no check was postponed.
   */
  readonly startupCheck: Promise<ArchiveProblem | undefined> | undefined;
  /** Every file that a job or an output refers to, once each. */
  keptFiles(): Promise<KeptFile[]>;
  /** Reads everything in the archive and compares it with its hash. */
  checkAll(tools: CheckTools): Promise<ArchiveReport>;
  /**
   * Copies the archive, while it is in use, to a folder that does not exist yet; the folder appears when the copy is
   * complete. The copy is an archive itself: to restore it, open it or move it to the old place. Rejects with the
   * errors of files.
   */
  backUp(to: string, tools: CheckTools): Promise<Result<Backup, ArchiveProblem>>;
}

export interface Deleted {
  readonly jobs: number;
  readonly outputs: number;
  /** Number of files in the vault. */
  readonly files: number;
  readonly bytes: number;
  readonly sha256s: readonly string[];
}

/** Permanent deletion. A file added within the last hour stays, because nothing may refer to it yet. */
export interface Deletions {
  /** What would be deleted with these jobs: their outputs, and the files that only they refer to. */
  preview(jobIds: readonly string[]): Promise<Result<Deleted, ArchiveProblem>>;
  deleteJobs(jobIds: readonly string[], nowMs: number): Promise<Result<Deleted, ArchiveProblem>>;
  /** Files that no job and no output refers to. */
  unusedFiles(nowMs: number): Promise<Deleted>;
  removeUnusedFiles(nowMs: number): Promise<Deleted>;
}

export interface ArchiveOptions {
  /** How long a call waits for another program to finish writing before the archive counts as locked. */
  readonly busyWaitMs?: number;
  /** After a crash, opens a large archive at once and checks it while people work. */
  readonly putsOffCheck?: boolean;
  /** Reads the list of jobs on a separate thread, for a program that does several things at once. */
  readonly listsAside?: boolean;
}

export type ArchiveProblemCode =
  | 'archive-damaged'
  | 'archive-newer'
  | 'archive-other-draft'
  | 'archive-locked'
  | 'archive-not-writable'
  | 'archive-disk-full'
  | 'archive-read-only'
  | 'archive-lost'
  | 'archive-on-network'
  | 'archive-none'
  | 'archive-sound'
  | 'archive-place-unreadable'
  | 'archive-vault-absent'
  | 'archive-shared'
  | 'archive-not-empty'
  | 'archive-move-differs'
  | 'archive-refused'
  | 'archive-unreachable'
  | 'job-unknown'
  | 'job-changed-elsewhere'
  | 'job-number-taken'
  | 'job-saved-in-window'
  | 'plan-changed-elsewhere'
  | 'output-unknown'
  | 'note-unknown'
  | 'stock-roll-unknown'
  | 'stock-roll-there'
  | 'stock-below-zero'
  | 'stock-printed-already'
  | 'stock-movement-unknown'
  | 'stock-movement-undone'
  | 'stock-movement-fixed';
export type ArchiveProblem = Problem<ArchiveProblemCode>;

export const jobNumberTaken = ({ number, name }: JobSummary): ArchiveProblem => ({
  code: 'job-number-taken',
  message: `The archive has a job with the number ${number} already, “${name}”.`,
  remedy: 'Give this job another number.',
});

/** The store itself refused the call. */
export class ArchiveFailure extends Error {
  readonly problem: ArchiveProblem;

  constructor(problem: ArchiveProblem, cause: unknown) {
    super(problem.message, { cause });
    this.name = 'ArchiveFailure';
    this.problem = problem;
  }
}

/** Runs work on an archive and turns refusals of its store into a problem. Other errors are rethrown. */
export async function tryArchive<T, P extends Problem>(
  work: () => Promise<Result<T, P>>,
): Promise<Result<T, P | ArchiveProblem>> {
  try {
    return await work();
  } catch (error) {
    if (error instanceof ArchiveFailure) return resultProblem(error.problem);
    throw error;
  }
}
