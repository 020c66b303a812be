/**
 * The archive as the rest of the program sees it: every job with its artwork, its outputs and what the shop keeps.
 * `openArchive` gives one that lies in a folder, an SQLite database beside a vault of files, or one that several seats
 * share, a database of PostgreSQL and a vault on a disk that all of them reach; nothing here knows which.
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
 * One call is one transaction: it has happened as a whole once its promise resolves, or not at all. What a caller must
 * decide about, such as a job that is unknown, is a `Result`. Where the store itself refuses, because its disk is full,
 * another program holds it or it is damaged, any call rejects with an `ArchiveFailure`; `tryArchive` makes a `Result`
 * of that at the border.
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
  /** Where it lies, for messages and for what is kept beside it. */
  readonly folder: string;
  /** Where its folder may not be written; each call that would write rejects with `archive-read-only`. */
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
  /** Calls the listener after each change of the archive, here or elsewhere, until the function that it returns is called. */
  watch(listener: ChangeListener): () => void;
  close(): Promise<void>;
}

export type ChangeListener = () => void;

export interface JobHolder {
  readonly person: string;
  readonly machine: string;
  readonly since: string;
  /** The window itself that asks. */
  readonly isHere: boolean;
  /** Who would like to edit the job instead. */
  readonly askedBy?: string;
}

/** Which window has a job open to edit it; the others may read it. A window is known by its program's name for it. */
export interface OpenJobs {
  /** Takes a job that is free or is taken over; otherwise returns who has it. */
  take(
    jobId: string,
    clientId: string,
    since: string,
    how?: { readonly isTakingOver?: boolean },
  ): Promise<JobHolder | undefined>;
  holder(jobId: string, clientId: string): Promise<JobHolder | undefined>;
  /** Lets the holder know that another user would like to edit the job. */
  ask(jobId: string): Promise<void>;
  release(jobId: string, clientId: string): Promise<void>;
  /** The window has gone. */
  releaseAll(clientId: string): Promise<void>;
}

export interface StoredJob extends JobSummary {
  /** The document as saved; read it through core/job, which brings older versions up to date. */
  readonly document: string;
}

export interface JobFilter {
  /** Every word must begin some word of the job, in any order. */
  readonly text?: string | undefined;
  /** Exactly this one. */
  readonly customer?: string | undefined;
  /** Last change, ISO date or date-time, inclusive. */
  readonly changedFrom?: string | undefined;
  readonly changedTo?: string | undefined;
  readonly progress?: JobProgress | undefined;
  /** Absent: all. */
  readonly archive?: ArchiveChoice | undefined;
  /** Absent: by the last save, the latest first. */
  readonly order?: JobOrder | undefined;
  readonly limit?: number | undefined;
  readonly offset?: number | undefined;
}

export interface JobPage {
  readonly jobs: JobSummary[];
  /** Of all jobs that the filter leaves. */
  readonly total: number;
}

export interface JobSave {
  /** Found by a search, as the words of the job itself are. */
  readonly panelLabels: readonly string[];
  /**
   * The revision that the edit began from, 0 for a new job: when another user has saved meanwhile, nothing is written
   * and the problem is `job-changed-elsewhere`. Absent: whatever revision the archive has.
   */
  readonly baseRevision?: number | undefined;
  /**
   * The job comes from a job file, which knows no revision. Where a window has saved something else since a job file was
   * saved last, nothing is written and the problem is `job-saved-in-window`; `replace` writes all the same.
   */
  readonly fromFile?: 'keep' | 'replace' | undefined;
  readonly now: string;
}

export interface Jobs {
  /** Whether a job from a file may be saved over what the archive has; see `fromFile`. */
  tryFile(job: Job): Promise<Result<void, ArchiveProblem>>;
  save(job: Job, save: JobSave): Promise<Result<JobSummary, ArchiveProblem>>;
  list(filter?: JobFilter): Promise<JobSummary[]>;
  /** The same, with how many there are in all. */
  page(filter: JobFilter): Promise<JobPage>;
  /** By its id, or by its number. */
  find(idOrNumber: string): Promise<Result<StoredJob, ArchiveProblem>>;
  /** The job that has a number: there is never more than one. */
  withNumber(number: string): Promise<JobSummary | undefined>;
  /** Keeps that a window has opened a job. */
  noteOpened(id: string, at: string): Promise<void>;
  /** Those that were opened last, the latest first. */
  recent(limit: number): Promise<JobSummary[]>;
  /** Takes a job out of the usual list, or back into it where `at` is undefined. */
  archive(id: string, at: string | undefined): Promise<Result<JobSummary, ArchiveProblem>>;
  /** Keeps the day on which its panels were installed, or removes it. */
  keepInstalled(id: string, on: string | undefined): Promise<Result<JobSummary, ArchiveProblem>>;
}

/** An output as the archive keeps it: what the screens see of it, and what it was made from. */
export interface ArchivedOutput extends OutputSummary {
  readonly jobId: string;
  /** The job as it was then. */
  readonly document: string;
  readonly artworkSha256: string;
}

export interface NewOutput
  extends Omit<ArchivedOutput, 'id' | 'number' | 'verification' | 'files' | 'record'> {
  /** A number that was reserved for it; the next one of its job where absent. */
  readonly number?: number;
  readonly files: readonly OutputFile[];
}

export interface Outputs {
  /** Reserves the next number of an output of a job, `atLeast` or higher. */
  reserveNumber(jobId: string, atLeast: number): Promise<number>;
  /** Gives back the last number of a job, where no later one was reserved meanwhile. */
  releaseNumber(jobId: string, number: number): Promise<void>;
  /** Its files must be in the vault already: an output that the archive lists has all of them. */
  keep(output: NewOutput): Promise<ArchivedOutput>;
  /** Those of a job, oldest first. */
  list(jobId: string): Promise<ArchivedOutput[]>;
  /** Reprints and patches of all jobs, the latest first. */
  latestReprints(limit: number): Promise<ArchivedOutput[]>;
  find(id: number): Promise<Result<ArchivedOutput, ArchiveProblem>>;
  /** The output of a job by the number that people call it by; the job by its id or number. */
  findNumbered(job: string, number: number): Promise<Result<ArchivedOutput, ArchiveProblem>>;
  /** Keeps what the verification of an output came to, in the place of an earlier one, and the sheets that say so. */
  keepVerification(
    id: number,
    verification: OutputVerification,
    report?: VerificationReport,
    sheets?: readonly OutputFile[],
  ): Promise<void>;
  /** Keeps what an output was really made with, in the place of what was entered before. */
  keepRecord(id: number, record: ProductionRecord): Promise<Result<ArchivedOutput, ArchiveProblem>>;
  /** The full report of the verification; undefined where there is none. */
  verificationReport(id: number): Promise<VerificationReport | undefined>;
}

/** Artwork and outputs byte for byte, each under its SHA-256. Rejects with the errors of files. */
export interface Vault {
  /** What its errors are about. */
  readonly folder: string;
  /** Takes in a copy of a file. */
  add(source: string, tools?: HashingTools): Promise<HashedSize>;
  has(sha256: string): Promise<boolean>;
  /** Whether the content is there and sound; if so, no cleaning removes it before a job or output can name it. */
  hold(sha256: string): Promise<boolean>;
  /** Whether the content is there and still has its hash. */
  state(sha256: string, tools?: HashingTools): Promise<'sound' | 'damaged' | 'absent'>;
  /** The file to read it from, whether or not it is there. */
  path(sha256: string): Promise<string>;
}

/** What the shop keeps for its next job. */
export interface Shelf {
  /** The latest first. */
  items(): Promise<ShopItems>;
  /**
   * Puts an item on the shelf, in place of an earlier state of it. `baseRevision` is that of the shared roll plan that is
   * replaced, 0 for a new one: where another was kept since, nothing is, and the problem is `plan-changed-elsewhere`.
   */
  keep(item: ShopItem, now: string, baseRevision?: number): Promise<Result<void, ArchiveProblem>>;
  remove(kind: ShopItem['kind'], id: string): Promise<void>;
}

/** What the shop noted at panels. Photos must be in the vault before a note names them. */
export interface Notes {
  /** Of a job, oldest first. */
  list(jobId: string): Promise<PanelNote[]>;
  /** Keeps a note with its photos, in the place of one of its id. */
  keep(jobId: string, note: PanelNote): Promise<void>;
  addPhoto(noteId: string, photo: PhotoFile): Promise<Result<PanelNote, ArchiveProblem>>;
  find(noteId: string): Promise<Result<PanelNote, ArchiveProblem>>;
  /** Its photos stay in the vault until it is cleaned. */
  remove(noteId: string): Promise<void>;
}

/** What a movement says, before it has its number. */
export interface NewMovement {
  readonly rollId: string;
  readonly kind: 'printed' | 'laminated' | 'corrected' | 'scrapped';
  /** How much goes off the roll, or what was counted on it: the ledger then takes up the difference. */
  readonly length: { readonly offMm: number } | { readonly countedMm: number };
  readonly note: string;
}

/** Who entered it, when, and whether a roll may come out below zero: without, nothing is entered that would. */
export interface MovementEntry {
  readonly at: string;
  readonly by: string;
  readonly isBelowZeroAllowed?: boolean | undefined;
  /** What sentences give lengths in. */
  readonly unit: 'mm' | 'in';
}

/** An output that was printed, with all rolls that it took. */
export interface PrintedEntry extends MovementEntry {
  readonly jobId: string;
  readonly jobNumber: string;
  readonly outputNumber: number;
  /** Enters an output again that was entered as printed already; without it, that is a problem. */
  readonly isFurtherPrint?: boolean | undefined;
  readonly movements: readonly (NewMovement & { readonly panelLabels: readonly string[] })[];
  /** Panels of other outputs that were printed in the waste beside these; absent: none. */
  readonly beside?: readonly PrintedBeside[];
}

/** It takes no film of its own; its output counts as printed, and has its lot from the roll. */
export interface PrintedBeside {
  readonly rollId: string;
  readonly kind: 'printed' | 'laminated';
  readonly jobId: string;
  readonly jobNumber: string;
  readonly outputNumber: number;
  readonly panelLabel: string;
}

/** The rolls of the shop and their ledger, which only grows. */
export interface Stock {
  /** All of them, those that were received last first. */
  rolls(): Promise<StockRoll[]>;
  /** By its id, or by the code on its label. */
  find(idOrCode: string): Promise<Result<StockRoll, ArchiveProblem>>;
  /** Of a roll, oldest first. */
  ledger(rollId: string): Promise<StockMovement[]>;
  /** Puts a roll on the shelf with its first movement. */
  receive(
    id: string,
    facts: StockFacts,
    lengthMm: number,
    entry: MovementEntry,
  ): Promise<Result<StockRoll, ArchiveProblem>>;
  /** What is known of a roll, in the place of what was; the ledger says what it was. */
  change(rollId: string, facts: StockFacts, entry: MovementEntry): Promise<Result<StockRoll, ArchiveProblem>>;
  move(movement: NewMovement, entry: MovementEntry): Promise<Result<StockRoll, ArchiveProblem>>;
  /** Enters the counter-entry of a movement. */
  undo(movementId: number, note: string, entry: MovementEntry): Promise<Result<StockRoll, ArchiveProblem>>;
  /** All rolls of an output at once, or none. */
  enterPrinted(printed: PrintedEntry): Promise<Result<number, ArchiveProblem>>;
  /** How often an output was entered as printed, without entries that were undone as a whole. */
  printings(jobId: string, outputNumber: number): Promise<number>;
}

/** What corrected artworks change on the panels of a job; the files that they name are kept. */
export interface Comparisons {
  /** In the place of an earlier one of the same two artworks. */
  keep(jobId: string, comparison: ArtworkComparison, at: string): Promise<void>;
  /** The latest last. */
  list(jobId: string): Promise<ArtworkComparison[]>;
  /** All those with this artwork as the corrected one. */
  remove(jobId: string, afterSha256: string): Promise<void>;
}

/** What jobs really took. */
export interface Actuals {
  find(jobId: string): Promise<KeptActuals | undefined>;
  /** Keeps them in the place of what was entered before. */
  keep(jobId: string, kept: KeptActuals): Promise<void>;
  remove(jobId: string): Promise<void>;
  /** The latest first. */
  list(): Promise<JobTook[]>;
  /** Jobs that are on their vehicles. */
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
  /** What the database's own check complains of. */
  readonly databaseTrouble: readonly string[];
  readonly absent: readonly KeptFile[];
  readonly damaged: readonly KeptFile[];
}

export interface Backup {
  readonly jobs: number;
  readonly files: number;
  /** Files that the archive itself has lost or holds damaged: the copy cannot have them either. */
  readonly lost: readonly KeptFile[];
}

export interface CheckTools {
  readonly signal: AbortSignal;
  readonly report: (progress: Progress) => void;
}

/** What makes the archive worth trusting. */
export interface Checks {
  /**
   * The check that opening put off (`putsOffCheck`), which runs meanwhile; it comes to what it found, undefined where
   * the archive is sound. Absent where none was due.
   */
  readonly startupCheck: Promise<ArchiveProblem | undefined> | undefined;
  /** Every file that a job or an output names, once each. */
  keptFiles(): Promise<KeptFile[]>;
  /** Reads everything that the archive keeps and compares it with its hash. */
  checkAll(tools: CheckTools): Promise<ArchiveReport>;
  /**
   * Copies the archive, while it is in use, to a folder that does not exist yet; it appears when it is whole, and is an
   * archive itself: to restore it is to open it, or to move it to the old place. Rejects with the errors of files.
   */
  backUp(to: string, tools: CheckTools): Promise<Result<Backup, ArchiveProblem>>;
}

export interface Deleted {
  readonly jobs: number;
  readonly outputs: number;
  /** In the vault, with the room that they take. */
  readonly files: number;
  readonly bytes: number;
  readonly sha256s: readonly string[];
}

/** What is deleted for good. A file that came in within the last hour stays, because it may not have been named yet. */
export interface Deletions {
  /** What is deleted with these jobs: their outputs, and the files that only they name. */
  preview(jobIds: readonly string[]): Promise<Result<Deleted, ArchiveProblem>>;
  deleteJobs(jobIds: readonly string[], nowMs: number): Promise<Result<Deleted, ArchiveProblem>>;
  /** Files that no job and no output names. */
  unusedFiles(nowMs: number): Promise<Deleted>;
  removeUnusedFiles(nowMs: number): Promise<Deleted>;
}

export interface ArchiveOptions {
  /** How long a call waits for another program that writes, before the archive is called locked. */
  readonly busyWaitMs?: number;
  /** Opens a large archive at once after a crash, and checks it while people work with it already. */
  readonly putsOffCheck?: boolean;
  /** Reads the list of jobs beside everything else, for a program that does more than one thing at a time. */
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

/** The store itself refused. */
export class ArchiveFailure extends Error {
  readonly problem: ArchiveProblem;

  constructor(problem: ArchiveProblem, cause: unknown) {
    super(problem.message, { cause });
    this.name = 'ArchiveFailure';
    this.problem = problem;
  }
}

/** Runs work on an archive; what its store refuses meanwhile becomes a problem. Everything else is thrown on. */
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
