/**
 * The archive: every job with its artwork and output history. One SQLite database beside one vault, in one
 * folder that can be copied as a whole.
 */
import { join } from 'node:path';
import type Database from 'better-sqlite3';
import type { Progress } from '../../core/contract/contract.ts';
import type { Job } from '../../core/job/schema.ts';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import type { SheetKind } from '../../core/output/sheet-kind.ts';
import { NOT_VERIFIED, OutputVerification } from '../../core/verify/output-verification.ts';
import { VerificationReport } from '../../core/verify/verification-report.ts';
import { scratchSwept } from '../files/scratch-folder.ts';
import { type ArchiveProblem, type DatabaseOptions, databaseOpen, type OpenedDatabase } from './database.ts';
import { SearchWords } from './search.ts';
import { ShopShelf } from './shop-shelf.ts';
import { Vault } from './vault.ts';

export interface JobSummary {
  readonly id: string;
  readonly number: string;
  readonly name: string;
  readonly customer: string;
  readonly unitNumber: string;
  /** Counts up with each save; a save must name the revision that it started from. */
  readonly revision: number;
  readonly createdAt: string;
  readonly updatedAt: string;
  readonly outputCount: number;
}

export interface StoredJob extends JobSummary {
  /** The document as saved; read it through core/job, which brings older versions up to date. */
  readonly document: string;
}

export type FileKind = 'panel' | 'strip' | 'manifest' | SheetKind;

export interface OutputFile {
  /** Path within the output folder, with forward slashes. */
  readonly name: string;
  readonly kind: FileKind;
  readonly sha256: string;
  readonly sizeBytes: number;
  readonly panelId?: string;
  readonly panelLabel?: string;
}

export interface NewOutput {
  readonly jobId: string;
  readonly kind: 'output' | 'reprint';
  readonly reprintOf?: number;
  readonly reason: string;
  readonly at: string;
  readonly programVersion: string;
  readonly document: string;
  readonly artworkSha256: string;
  readonly folder: string;
  readonly files: readonly OutputFile[];
}

export interface ArchivedOutput extends NewOutput {
  readonly id: number;
  readonly verification: OutputVerification;
}

export interface JobFilter {
  readonly text?: string | undefined;
  /** Last change, ISO date or date-time, inclusive. */
  readonly changedFrom?: string | undefined;
  readonly changedTo?: string | undefined;
  readonly limit?: number | undefined;
  readonly offset?: number | undefined;
}

export interface KeptFile {
  readonly sha256: string;
  readonly name: string;
}

export interface ArchiveReport {
  readonly jobs: number;
  readonly files: number;
  /** What SQLite's integrity check complains of. */
  readonly databaseTrouble: readonly string[];
  readonly absent: readonly KeptFile[];
  readonly damaged: readonly KeptFile[];
}

const DATABASE_NAME = 'archive.sqlite';
const DEFAULT_LIMIT = 200;

export class Archive {
  readonly folder: string;
  readonly vault: Vault;
  readonly shelf: ShopShelf;
  /** Whether the database was opened after a crash without having been looked through. */
  readonly isCheckDue: boolean;
  readonly #db: Database.Database;
  readonly #searchWords: SearchWords;

  private constructor(folder: string, { db, isCheckDue }: OpenedDatabase) {
    this.folder = folder;
    this.vault = new Vault(join(folder, 'vault'));
    this.shelf = new ShopShelf(db);
    this.isCheckDue = isCheckDue;
    this.#db = db;
    this.#searchWords = new SearchWords(db);
  }

  static databasePath(folder: string): string {
    return join(folder, DATABASE_NAME);
  }

  static open(folder: string, options?: DatabaseOptions): Result<Archive, ArchiveProblem> {
    const opened = databaseOpen(Archive.databasePath(folder), options);
    if (!opened.ok) return opened;
    const archive = new Archive(folder, opened.value);
    archive.vault.sweep();
    scratchSwept();
    return resultOk(archive);
  }

  close(): void {
    this.#db.close();
  }

  /** A consistent copy of the database alone while it is in use; `archiveCopied` copies the files too. */
  async backup(path: string): Promise<void> {
    await this.#db.backup(path);
  }

  /**
   * Saves a job. `baseRevision` is the revision that the edit began from, 0 for a new job: when somebody else
   * has saved meanwhile, nothing is written and the problem says so.
   */
  saveJob(
    job: Job,
    extra: { document: string; panelLabels: readonly string[]; baseRevision: number; now: string },
  ): Result<JobSummary, ArchiveProblem> {
    return this.#db
      .transaction((): Result<JobSummary, ArchiveProblem> => {
        const current = this.#summary(job.id);
        if ((current?.revision ?? 0) !== extra.baseRevision) return resultProblem(changedElsewhere(job));
        const row = {
          id: job.id,
          number: job.number,
          name: job.name,
          customer: job.customer,
          unitNumber: job.vehicle.unitNumber,
          document: extra.document,
          artworkSha256: job.artwork?.sha256 ?? null,
          now: extra.now,
        };
        const before = this.#rowId(job.id);
        if (before !== undefined) this.#db.prepare('DELETE FROM job_words WHERE rowid = ?').run(before);
        // A save gives the job the highest row number, so that row numbers order jobs by their last save.
        this.#db
          .prepare<[typeof row]>(
            `INSERT INTO jobs (id, number, name, customer, unit_name, document, artwork_sha256, revision, created_at, updated_at)
             VALUES (@id, @number, @name, @customer, @unitNumber, @document, @artworkSha256, 1, @now, @now)
             ON CONFLICT (id) DO UPDATE SET
               number = @number, name = @name, customer = @customer, unit_name = @unitNumber, document = @document,
               artwork_sha256 = @artworkSha256, revision = revision + 1, updated_at = @now,
               row_id = (SELECT max(row_id) + 1 FROM jobs)`,
          )
          .run(row);
        this.#db
          .prepare('INSERT INTO job_words (rowid, words) VALUES (?, ?)')
          .run(this.#rowId(job.id), jobWords(job, extra.panelLabels));
        return resultOk(this.#summary(job.id)!);
      })
      .immediate();
  }

  /** Jobs by last save, newest first; with `text`, those in which every word begins a word of the job. */
  listJobs(filter: JobFilter = {}): JobSummary[] {
    const conditions: string[] = [];
    const values: Record<string, string | number> = {
      limit: filter.limit ?? DEFAULT_LIMIT,
      offset: filter.offset ?? 0,
    };
    if (filter.text !== undefined && filter.text.trim() !== '') {
      const expression = this.#searchWords.expression(filter.text);
      if (expression === undefined) return [];
      conditions.push('job_words MATCH @expression');
      values.expression = expression;
    }
    if (filter.changedFrom !== undefined) {
      conditions.push('updated_at >= @changedFrom');
      values.changedFrom = filter.changedFrom;
    }
    if (filter.changedTo !== undefined) {
      // A bare date means the whole day: '2026-03-09' < '2026-03-09T10:00' < '2026-03-09\u{10FFFF}'.
      conditions.push('updated_at <= @changedTo');
      values.changedTo = `${filter.changedTo}\u{10FFFF}`;
    }
    const where = conditions.length > 0 ? `WHERE ${conditions.join(' AND ')}` : '';
    // The index of words is read from its newest row on, and no further than the limit.
    const [join, order] =
      values.expression === undefined
        ? ['', 'jobs.row_id']
        : ['JOIN job_words ON job_words.rowid = jobs.row_id', 'job_words.rowid'];
    return this.#db
      .prepare<[typeof values], JobRow>(
        `${SELECT_SUMMARY} ${join} ${where} ORDER BY ${order} DESC LIMIT @limit OFFSET @offset`,
      )
      .all(values)
      .map(summaryFromRow);
  }

  /** A job by its id, or by its number where exactly one job has it. */
  job(idOrNumber: string): Result<StoredJob, ArchiveProblem> {
    const rows = this.#db
      .prepare<[string, string], JobRow & { document: string }>(
        `SELECT *, (SELECT count(*) FROM runs WHERE job_id = jobs.id) AS run_count
         FROM jobs WHERE id = ? OR number = ? LIMIT 3`,
      )
      .all(idOrNumber, idOrNumber);
    const row = rows.find(({ id }) => id === idOrNumber) ?? (rows.length === 1 ? rows[0] : undefined);
    if (!row) return resultProblem(jobUnknown(idOrNumber, rows.length > 1));
    return resultOk({ ...summaryFromRow(row), document: row.document });
  }

  recordOutput(output: NewOutput): ArchivedOutput {
    return this.#db
      .transaction((): ArchivedOutput => {
        const id = Number(
          this.#db
            .prepare(
              `INSERT INTO runs (job_id, kind, reprint_of, reason, at, program_version, document, artwork_sha256, folder)
               VALUES (@jobId, @kind, @reprintOf, @reason, @at, @programVersion, @document, @artworkSha256, @folder)`,
            )
            .run({ ...output, reprintOf: output.reprintOf ?? null, files: undefined }).lastInsertRowid,
        );
        const insert = this.#db.prepare(
          `INSERT INTO run_files (run_id, name, kind, sha256, size_bytes, panel_id, panel_label)
           VALUES (@outputId, @name, @kind, @sha256, @sizeBytes, @panelId, @panelLabel)`,
        );
        for (const file of output.files) {
          insert.run({
            ...file,
            outputId: id,
            panelId: file.panelId ?? null,
            panelLabel: file.panelLabel ?? null,
          });
        }
        return { ...output, id, verification: NOT_VERIFIED };
      })
      .immediate();
  }

  /** Keeps what the verification of an output came to, in the place of an earlier one. */
  recordVerification(outputId: number, verification: OutputVerification, report?: VerificationReport): void {
    this.#db
      .prepare(
        'INSERT OR REPLACE INTO run_verifications (run_id, state, sentences, report) VALUES (?, ?, ?, ?)',
      )
      .run(
        outputId,
        verification.state,
        JSON.stringify(verification.sentences),
        report ? JSON.stringify(report) : null,
      );
  }

  /** The full report of an output's verification; undefined where there is none. */
  verificationReport(outputId: number): VerificationReport | undefined {
    const row = this.#db
      .prepare<[number], { report: string | null }>('SELECT report FROM run_verifications WHERE run_id = ?')
      .get(outputId);
    return row?.report ? VerificationReport.parse(JSON.parse(row.report)) : undefined;
  }

  /** Outputs of a job, oldest first. */
  outputs(jobId: string): ArchivedOutput[] {
    return this.#db
      .prepare<[string], OutputRow>('SELECT * FROM runs WHERE job_id = ? ORDER BY id')
      .all(jobId)
      .map((row) => this.#output(row));
  }

  output(id: number): Result<ArchivedOutput, ArchiveProblem> {
    const row = this.#db.prepare<[number], OutputRow>('SELECT * FROM runs WHERE id = ?').get(id);
    if (row) return resultOk(this.#output(row));
    return resultProblem({
      code: 'output-unknown',
      message: `The archive has no output run ${id}.`,
      remedy: 'Choose a run that the job’s history lists.',
    });
  }

  jobCount(): number {
    return this.#db.prepare<[], { n: number }>('SELECT count(*) AS n FROM jobs').get()!.n;
  }

  /** Every file that a job or an output names, once each. */
  keptFiles(): KeptFile[] {
    return this.#db
      .prepare<[], KeptFile>(
        `SELECT sha256, min(name) AS name FROM (
           SELECT sha256, name FROM run_files
           UNION ALL SELECT artwork_sha256, 'artwork of job ' || number FROM jobs WHERE artwork_sha256 IS NOT NULL
           UNION ALL SELECT artwork_sha256, 'artwork of run ' || id FROM runs
           UNION ALL SELECT panel.value ->> 'differencePictureSha256',
               'verification of ' || (panel.value ->> 'label') || ' in run ' || run_id
             FROM run_verifications, json_each(report, '$.sides') AS side, json_each(side.value, '$.panels') AS panel
             WHERE panel.value ->> 'differencePictureSha256' IS NOT NULL
         ) GROUP BY sha256 ORDER BY sha256`,
      )
      .all();
  }

  /** Reads everything that the archive keeps and compares it with its hash. */
  async checked(signal: AbortSignal, report: (progress: Progress) => void): Promise<ArchiveReport> {
    const trouble = this.#db.pragma('integrity_check(20)', { simple: false }) as {
      integrity_check: string;
    }[];
    const kept = this.keptFiles();
    const absent: KeptFile[] = [];
    const damaged: KeptFile[] = [];
    for (const [index, file] of kept.entries()) {
      signal.throwIfAborted();
      report({ what: `Checking ${file.name}`, done: index, total: kept.length });
      const state = await this.vault.state(file.sha256);
      if (state === 'absent') absent.push(file);
      if (state === 'damaged') damaged.push(file);
    }
    return {
      jobs: this.jobCount(),
      files: kept.length,
      databaseTrouble: trouble.map((row) => row.integrity_check).filter((text) => text !== 'ok'),
      absent,
      damaged,
    };
  }

  #rowId(id: string): number | undefined {
    return this.#db.prepare<[string], { row_id: number }>('SELECT row_id FROM jobs WHERE id = ?').get(id)
      ?.row_id;
  }

  #summary(id: string): JobSummary | undefined {
    const row = this.#db.prepare<[string], JobRow>(`${SELECT_SUMMARY} WHERE id = ?`).get(id);
    return row && summaryFromRow(row);
  }

  #verification(outputId: number): OutputVerification {
    const row = this.#db
      .prepare<[number], { state: string; sentences: string }>(
        'SELECT state, sentences FROM run_verifications WHERE run_id = ?',
      )
      .get(outputId);
    return row
      ? OutputVerification.parse({ state: row.state, sentences: JSON.parse(row.sentences) })
      : NOT_VERIFIED;
  }

  #output(row: OutputRow): ArchivedOutput {
    const files = this.#db
      .prepare<[number], OutputFileRow>('SELECT * FROM run_files WHERE run_id = ? ORDER BY name')
      .all(row.id)
      .map(
        (file): OutputFile => ({
          name: file.name,
          kind: file.kind,
          sha256: file.sha256,
          sizeBytes: file.size_bytes,
          ...(file.panel_id !== null && { panelId: file.panel_id }),
          ...(file.panel_label !== null && { panelLabel: file.panel_label }),
        }),
      );
    return {
      id: row.id,
      jobId: row.job_id,
      kind: row.kind,
      ...(row.reprint_of !== null && { reprintOf: row.reprint_of }),
      reason: row.reason,
      at: row.at,
      programVersion: row.program_version,
      document: row.document,
      artworkSha256: row.artwork_sha256,
      folder: row.folder,
      files,
      verification: this.#verification(row.id),
    };
  }
}

const SELECT_SUMMARY = `SELECT id, number, name, customer, unit_name, revision, created_at, updated_at,
  (SELECT count(*) FROM runs WHERE job_id = jobs.id) AS run_count FROM jobs`;

interface JobRow {
  readonly id: string;
  readonly number: string;
  readonly name: string;
  readonly customer: string;
  readonly unit_name: string;
  readonly revision: number;
  readonly created_at: string;
  readonly updated_at: string;
  readonly run_count: number;
}

interface OutputRow {
  readonly id: number;
  readonly job_id: string;
  readonly kind: 'output' | 'reprint';
  readonly reprint_of: number | null;
  readonly reason: string;
  readonly at: string;
  readonly program_version: string;
  readonly document: string;
  readonly artwork_sha256: string;
  readonly folder: string;
}

interface OutputFileRow {
  readonly name: string;
  readonly kind: FileKind;
  readonly sha256: string;
  readonly size_bytes: number;
  readonly panel_id: string | null;
  readonly panel_label: string | null;
}

const summaryFromRow = (row: JobRow): JobSummary => ({
  id: row.id,
  number: row.number,
  name: row.name,
  customer: row.customer,
  unitNumber: row.unit_name,
  revision: row.revision,
  createdAt: row.created_at,
  updatedAt: row.updated_at,
  outputCount: row.run_count,
});

/** Everything that a search looks through. */
const jobWords = (job: Job, panelLabels: readonly string[]): string =>
  [
    job.number,
    job.name,
    job.customer,
    job.vehicle.unitNumber,
    job.notes,
    ...job.sides.map((side) => side.notes),
    ...panelLabels,
  ].join('\n');

const changedElsewhere = (job: Job): ArchiveProblem => ({
  code: 'job-changed-elsewhere',
  message: `Job ${job.number} was saved by another window or program after it was opened here.`,
  remedy: 'Open the saved job again, or save this one as a copy. Nothing has been overwritten.',
});

const jobUnknown = (asked: string, isAmbiguous: boolean): ArchiveProblem => ({
  code: 'job-unknown',
  message: isAmbiguous
    ? `More than one job in the archive has the number ${asked}.`
    : `The archive has no job ${asked}.`,
  remedy: isAmbiguous ? 'Name the job by its id.' : 'List or search the archive to find the job.',
});
