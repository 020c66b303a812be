import type { OutputFile } from '../../core/contract/output-summary.ts';
import { jobNumberKey } from '../../core/job/job-number.ts';
import { present } from '../../core/measure/present.ts';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import type { ProductionRecord } from '../../core/output/production-record.ts';
import { NOT_VERIFIED } from '../../core/verify/not-verified.ts';
import type { OutputVerification } from '../../core/verify/output-verification.ts';
import type { VerificationReport } from '../../core/verify/verification-report.ts';
import { refreshProgress } from './job-progress.ts';
import { jobUnknown } from './jobs.ts';
import type { ArchivedOutput, ArchiveProblem, NewOutput, Outputs } from './port.ts';
import type { Sql, Store } from './sql.ts';
import { usedRollsOf } from './used-rolls.ts';

/** The columns under the names of an output's fields. The database enforces their types, so a row is an output. */
const OUTPUT = `id, job_id AS "jobId", number, kind,
  (SELECT earlier.number FROM outputs AS earlier WHERE earlier.id = outputs.reprint_of) AS "reprintOf",
  unit_number AS "unitNumber", reason, at, program_version AS "programVersion", document,
  artwork_sha256 AS "artworkSha256", folder`;

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

export class StoredOutputs implements Outputs {
  readonly #store: Store;

  constructor(store: Store) {
    this.#store = store;
  }

  async reserveNumber(jobId: string, atLeast: number): Promise<number> {
    return await this.#store.write((sql) => nextNumber(sql, jobId, atLeast));
  }

  async releaseNumber(jobId: string, number: number): Promise<void> {
    await this.#store.write((sql) =>
      sql.run('UPDATE output_numbers SET last = last - 1 WHERE job_id = ? AND last = ?', [jobId, number]),
    );
  }

  async keep({ files, number: reserved, ...output }: NewOutput): Promise<ArchivedOutput> {
    return await this.#store.write(async (sql) => {
      const number = reserved ?? (await nextNumber(sql, output.jobId, 1));
      const { id } = present(
        await sql.first<{ id: number }>(
          `INSERT INTO outputs (job_id, number, kind, reprint_of, unit_number, reason, at, program_version, document,
           artwork_sha256, folder)
         VALUES (@jobId, @number, @kind,
           (SELECT id FROM outputs WHERE job_id = @jobId AND number = @reprintOf), @unitNumber, @reason, @at,
           @programVersion, @document, @artworkSha256, @folder)
         RETURNING id`,
          { reprintOf: null, unitNumber: null, ...output, number },
        ),
        'The row that a statement gives',
      );
      for (const file of files)
        await sql.run(
          `INSERT INTO output_files (output_id, name, kind, sha256, size_bytes, panel_id, panel_label)
           VALUES (@id, @name, @kind, @sha256, @sizeBytes, @panelId, @panelLabel)`,
          { panelId: null, panelLabel: null, ...file, id },
        );
      await refreshProgress(sql, output.jobId);
      return { ...output, id, number, files: [...files], verification: NOT_VERIFIED };
    });
  }

  async list(jobId: string): Promise<ArchivedOutput[]> {
    return await this.#store.read(async (sql) => {
      const outputs: ArchivedOutput[] = [];
      for (const row of await sql.all<OutputRow>(
        `SELECT ${OUTPUT} FROM outputs WHERE job_id = ? ORDER BY number`,
        [jobId],
      ))
        outputs.push(await outputFromRow(sql, row));
      return outputs;
    });
  }

  async latestReprints(limit: number): Promise<ArchivedOutput[]> {
    return await this.#store.read(async (sql) => {
      const outputs: ArchivedOutput[] = [];
      for (const row of await sql.all<OutputRow>(
        `SELECT ${OUTPUT} FROM outputs WHERE kind = 'reprint' ORDER BY at DESC, id DESC LIMIT ?`,
        [limit],
      ))
        outputs.push(await outputFromRow(sql, row));
      return outputs;
    });
  }

  async find(id: number): Promise<Result<ArchivedOutput, ArchiveProblem>> {
    return await this.#store.read(async (sql) => {
      const row = await sql.first<OutputRow>(`SELECT ${OUTPUT} FROM outputs WHERE id = ?`, [id]);
      return row
        ? resultOk(await outputFromRow(sql, row))
        : resultProblem(outputUnknown('The archive no longer has this output.'));
    });
  }

  async findNumbered(job: string, number: number): Promise<Result<ArchivedOutput, ArchiveProblem>> {
    return await this.#store.read(async (sql) => {
      const found = await sql.first<{ id: string; number: string }>(
        'SELECT id, number FROM jobs WHERE id = ? OR number_key = ? ORDER BY id = ? DESC',
        [job, jobNumberKey(job), job],
      );
      if (!found) return resultProblem(jobUnknown(job));
      const row = await sql.first<OutputRow>(
        `SELECT ${OUTPUT} FROM outputs WHERE job_id = ? AND number = ?`,
        [found.id, number],
      );
      return row
        ? resultOk(await outputFromRow(sql, row))
        : resultProblem(outputUnknown(`Job ${found.number} has no Output ${number}.`));
    });
  }

  async keepVerification(
    id: number,
    { state, sentences }: OutputVerification,
    report?: VerificationReport,
    sheets: readonly OutputFile[] = [],
  ): Promise<void> {
    await this.#store.write(async (sql) => {
      await sql.run(
        `INSERT INTO verifications (output_id, state, sentences, report) VALUES (?, ?, ?, ?)
         ON CONFLICT (output_id) DO UPDATE SET
           state = excluded.state, sentences = excluded.sentences, report = excluded.report`,
        [id, state, JSON.stringify(sentences), report ? JSON.stringify(report) : null],
      );
      for (const { name, sha256, sizeBytes } of sheets)
        await sql.run('UPDATE output_files SET sha256 = ?, size_bytes = ? WHERE output_id = ? AND name = ?', [
          sha256,
          sizeBytes,
          id,
          name,
        ]);
      await refreshProgress(sql, await jobOf(sql, id));
    });
  }

  async keepRecord(id: number, record: ProductionRecord): Promise<Result<ArchivedOutput, ArchiveProblem>> {
    const known = await this.find(id);
    if (!known.ok) return known;
    await this.#store.write(async (sql) => {
      await sql.run(
        `INSERT INTO output_records (output_id, record) VALUES (?, ?)
         ON CONFLICT (output_id) DO UPDATE SET record = excluded.record`,
        [id, JSON.stringify(record)],
      );
      await refreshProgress(sql, known.value.jobId);
    });
    return resultOk({ ...known.value, record });
  }

  async verificationReport(id: number): Promise<VerificationReport | undefined> {
    const row = await this.#store.read((sql) =>
      sql.first<{ report: string | null }>('SELECT report FROM verifications WHERE output_id = ?', [id]),
    );
    if (!row?.report) return undefined;
    const { VerificationReport } = await import('../../core/verify/verification-report.ts');
    return VerificationReport.parse(JSON.parse(row.report));
  }
}

const nextNumber = async (sql: Sql, jobId: string, atLeast: number): Promise<number> =>
  present(
    await sql.first<{ last: number }>(
      `INSERT INTO output_numbers (job_id, last) VALUES (?, ?)
     ON CONFLICT (job_id) DO UPDATE SET
       last = CASE WHEN output_numbers.last < excluded.last THEN excluded.last ELSE output_numbers.last + 1 END
     RETURNING last`,
      [jobId, atLeast],
    ),
    'The row that a statement gives',
  ).last;

const jobOf = async (sql: Sql, outputId: number): Promise<string> =>
  present(
    await sql.first<{ jobId: string }>('SELECT job_id AS "jobId" FROM outputs WHERE id = ?', [outputId]),
    'The row that a statement gives',
  ).jobId;

async function outputFromRow(
  sql: Sql,
  { reprintOf, unitNumber, ...row }: OutputRow,
): Promise<ArchivedOutput> {
  const files = (
    await sql.all<FileRow>(
      `SELECT name, kind, sha256, size_bytes AS "sizeBytes", panel_id AS "panelId", panel_label AS "panelLabel"
       FROM output_files WHERE output_id = ? ORDER BY name`,
      [row.id],
    )
  ).map(({ panelId, panelLabel, ...file }) => ({
    ...file,
    ...(panelId !== null && { panelId }),
    ...(panelLabel !== null && { panelLabel }),
  }));
  const kept = await sql.first<{ state: OutputVerification['state']; sentences: string }>(
    'SELECT state, sentences FROM verifications WHERE output_id = ?',
    [row.id],
  );
  const recorded = await sql.first<{ record: string }>(
    'SELECT record FROM output_records WHERE output_id = ?',
    [row.id],
  );
  const usedRolls = await usedRollsOf(sql, row.jobId, row.number);
  const verification = kept ? { state: kept.state, sentences: JSON.parse(kept.sentences) } : NOT_VERIFIED;
  return {
    ...row,
    ...(reprintOf !== null && { reprintOf }),
    ...(unitNumber !== null && { unitNumber }),
    ...(recorded && { record: JSON.parse(recorded.record) as ProductionRecord }),
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
