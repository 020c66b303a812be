import type Database from 'better-sqlite3';
import type { OutputFile } from '../../core/contract/output-summary.ts';
import { jobNumberKey } from '../../core/job/job-number.ts';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import type { ProductionRecord } from '../../core/output/production-record.ts';
import { NOT_VERIFIED } from '../../core/verify/not-verified.ts';
import type { OutputVerification } from '../../core/verify/output-verification.ts';
import type { VerificationReport } from '../../core/verify/verification-report.ts';
import { refreshProgress } from './job-progress.ts';
import { jobUnknown } from './jobs.ts';
import type { ArchivedOutput, ArchiveProblem, NewOutput, Outputs } from './port.ts';
import type { Store } from './store.ts';
import { usedRollsOf } from './used-rolls.ts';

/** The columns as an output names them: SQLite holds them to their types, so that a row is one. */
const OUTPUT = `id, job_id AS jobId, number, kind,
  (SELECT first.number FROM outputs AS first WHERE first.id = outputs.reprint_of) AS reprintOf, unit_number AS unitNumber, reason, at, program_version AS programVersion,
  document, artwork_sha256 AS artworkSha256, folder`;

interface OutputRow
  extends Omit<
    ArchivedOutput,
    'files' | 'verification' | 'reprintOf' | 'unitNumber' | 'record' | 'usedRolls'
  > {
  readonly reprintOf: number | null;
  readonly unitNumber: string | null;
}

interface FileRow extends Omit<OutputFile, 'panelId' | 'panelLabel'> {
  readonly panelId: string | null;
  readonly panelLabel: string | null;
}

export class SqliteOutputs implements Outputs {
  readonly #store: Store;

  constructor(store: Store) {
    this.#store = store;
  }

  async reserveNumber(jobId: string, atLeast: number): Promise<number> {
    return await this.#store.write((db) => nextNumber(db, jobId, atLeast));
  }

  async releaseNumber(jobId: string, number: number): Promise<void> {
    await this.#store.write((db) => {
      db.prepare('UPDATE output_numbers SET last = last - 1 WHERE job_id = ? AND last = ?').run(
        jobId,
        number,
      );
    });
  }

  async keep({ files, number: reserved, ...output }: NewOutput): Promise<ArchivedOutput> {
    return await this.#store.write((db) => {
      const number = reserved ?? nextNumber(db, output.jobId, 1);
      const { lastInsertRowid } = db
        .prepare(
          `INSERT INTO outputs (job_id, number, kind, reprint_of, unit_number, reason, at, program_version, document,
             artwork_sha256, folder)
           VALUES (@jobId, @number, @kind,
             (SELECT id FROM outputs WHERE job_id = @jobId AND number = @reprintOf), @unitNumber, @reason, @at,
             @programVersion, @document, @artworkSha256, @folder)`,
        )
        .run({ reprintOf: null, unitNumber: null, ...output, number });
      const id = Number(lastInsertRowid);
      const insert = db.prepare(
        `INSERT INTO output_files (output_id, name, kind, sha256, size_bytes, panel_id, panel_label)
         VALUES (@id, @name, @kind, @sha256, @sizeBytes, @panelId, @panelLabel)`,
      );
      for (const file of files) insert.run({ panelId: null, panelLabel: null, ...file, id });
      refreshProgress(db, output.jobId);
      return { ...output, id, number, files: [...files], verification: NOT_VERIFIED };
    });
  }

  async list(jobId: string): Promise<ArchivedOutput[]> {
    return await this.#store.read((db) =>
      db
        .prepare<[string], OutputRow>(`SELECT ${OUTPUT} FROM outputs WHERE job_id = ? ORDER BY number`)
        .all(jobId)
        .map((row) => outputFromRow(db, row)),
    );
  }

  async find(id: number): Promise<Result<ArchivedOutput, ArchiveProblem>> {
    return await this.#store.read((db) => {
      const row = db.prepare<[number], OutputRow>(`SELECT ${OUTPUT} FROM outputs WHERE id = ?`).get(id);
      return row
        ? resultOk(outputFromRow(db, row))
        : resultProblem(outputUnknown('The archive no longer has this output.'));
    });
  }

  async findNumbered(job: string, number: number): Promise<Result<ArchivedOutput, ArchiveProblem>> {
    return await this.#store.read((db) => {
      const found = db
        .prepare<[string, string, string], { id: string; number: string }>(
          'SELECT id, number FROM jobs WHERE id = ? OR number_key = ? ORDER BY id = ? DESC',
        )
        .get(job, jobNumberKey(job), job);
      if (!found) return resultProblem(jobUnknown(job));
      const row = db
        .prepare<[string, number], OutputRow>(`SELECT ${OUTPUT} FROM outputs WHERE job_id = ? AND number = ?`)
        .get(found.id, number);
      return row
        ? resultOk(outputFromRow(db, row))
        : resultProblem(outputUnknown(`Job ${found.number} has no Output ${number}.`));
    });
  }

  async keepVerification(
    id: number,
    { state, sentences }: OutputVerification,
    report?: VerificationReport,
    sheets: readonly OutputFile[] = [],
  ): Promise<void> {
    await this.#store.write((db) => {
      db.prepare(
        'INSERT OR REPLACE INTO verifications (output_id, state, sentences, report) VALUES (?, ?, ?, ?)',
      ).run(id, state, JSON.stringify(sentences), report ? JSON.stringify(report) : null);
      const update = db.prepare(
        'UPDATE output_files SET sha256 = @sha256, size_bytes = @sizeBytes WHERE output_id = @id AND name = @name',
      );
      for (const { name, sha256, sizeBytes } of sheets) update.run({ id, name, sha256, sizeBytes });
      refreshProgress(db, jobOf(db, id));
    });
  }

  async keepRecord(id: number, record: ProductionRecord): Promise<Result<ArchivedOutput, ArchiveProblem>> {
    const known = await this.find(id);
    if (!known.ok) return known;
    await this.#store.write((db) => {
      db.prepare(
        `INSERT INTO output_records (output_id, record) VALUES (?, ?)
         ON CONFLICT (output_id) DO UPDATE SET record = excluded.record`,
      ).run(id, JSON.stringify(record));
      refreshProgress(db, known.value.jobId);
    });
    return resultOk({ ...known.value, record });
  }

  async verificationReport(id: number): Promise<VerificationReport | undefined> {
    const row = await this.#store.read((db) =>
      db
        .prepare<[number], { report: string | null }>('SELECT report FROM verifications WHERE output_id = ?')
        .get(id),
    );
    if (!row?.report) return undefined;
    const { VerificationReport } = await import('../../core/verify/verification-report.ts');
    return VerificationReport.parse(JSON.parse(row.report));
  }
}

const nextNumber = (db: Database.Database, jobId: string, atLeast: number): number =>
  db
    .prepare<[string, number], number>(
      `INSERT INTO output_numbers (job_id, last) VALUES (?, ?)
       ON CONFLICT (job_id) DO UPDATE SET last = max(last + 1, excluded.last) RETURNING last`,
    )
    .pluck()
    .get(jobId, atLeast)!;

const jobOf = (db: Database.Database, outputId: number): string =>
  db.prepare<[number], string>('SELECT job_id FROM outputs WHERE id = ?').pluck().get(outputId)!;

function outputFromRow(db: Database.Database, { reprintOf, unitNumber, ...row }: OutputRow): ArchivedOutput {
  const files = db
    .prepare<[number], FileRow>(
      `SELECT name, kind, sha256, size_bytes AS sizeBytes, panel_id AS panelId, panel_label AS panelLabel
       FROM output_files WHERE output_id = ? ORDER BY name`,
    )
    .all(row.id)
    .map(({ panelId, panelLabel, ...file }) => ({
      ...file,
      ...(panelId !== null && { panelId }),
      ...(panelLabel !== null && { panelLabel }),
    }));
  const kept = db
    .prepare<[number], { state: OutputVerification['state']; sentences: string }>(
      'SELECT state, sentences FROM verifications WHERE output_id = ?',
    )
    .get(row.id);
  const record = db
    .prepare<[number], string>('SELECT record FROM output_records WHERE output_id = ?')
    .pluck()
    .get(row.id);
  const usedRolls = usedRollsOf(db, row.jobId, row.number);
  const verification = kept ? { state: kept.state, sentences: JSON.parse(kept.sentences) } : NOT_VERIFIED;
  return {
    ...row,
    ...(reprintOf !== null && { reprintOf }),
    ...(unitNumber !== null && { unitNumber }),
    ...(record !== undefined && { record: JSON.parse(record) as ProductionRecord }),
    ...(usedRolls.length > 0 && { usedRolls }),
    files,
    verification,
  };
}

const outputUnknown = (message: string): ArchiveProblem => ({
  code: 'output-unknown',
  message,
  remedy: 'Select an output that the job’s history lists.',
});
