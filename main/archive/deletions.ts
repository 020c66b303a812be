/**
 * Permanent deletion of jobs with their history, and of files in the vault that nothing refers to. The database is
 * changed first; after a kill, the next cleaning removes the remaining files.
 */
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { jobUnknown } from './jobs.ts';
import { keptFiles } from './kept-files.ts';
import type { ArchiveProblem, Deleted, Deletions } from './port.ts';
import type { Sql, Store } from './sql.ts';
import type { FileVault, VaultFile } from './vault.ts';

/** Another window or program may be about to refer to a file added or requested within this time. */
const HELD_MS = 3_600_000;

export class StoredDeletions implements Deletions {
  readonly #store: Store;
  readonly #vault: FileVault;

  constructor(store: Store, vault: FileVault) {
    this.#store = store;
    this.#vault = vault;
  }

  async preview(jobIds: readonly string[]): Promise<Result<Deleted, ArchiveProblem>> {
    const rows = await this.#store.tryOut((sql) => deleteRows(sql, jobIds));
    if (!rows.ok) return rows;
    const { files, ...counts } = rows.value;
    return resultOk(deleted(counts, await this.#filesOf(files)));
  }

  async deleteJobs(jobIds: readonly string[], nowMs: number): Promise<Result<Deleted, ArchiveProblem>> {
    const rows = await this.#store.write((sql) => deleteRows(sql, jobIds));
    if (!rows.ok) return rows;
    const { files, ...counts } = rows.value;
    return resultOk(deleted(counts, await this.#remove(await this.#filesOf(files), nowMs)));
  }

  async unusedFiles(nowMs: number): Promise<Deleted> {
    return deleted(
      NO_JOBS,
      (await this.#unused()).filter((file) => !isHeld(file, nowMs)),
    );
  }

  async removeUnusedFiles(nowMs: number): Promise<Deleted> {
    return deleted(NO_JOBS, await this.#remove(await this.#unused(), nowMs));
  }

  async #unused(): Promise<VaultFile[]> {
    // Listed before the database is read, so files added later are not considered.
    const files = await this.#vault.list();
    const kept = await this.#store.read(keptHashes);
    return files.filter(({ sha256 }) => !kept.has(sha256));
  }

  async #filesOf(hashes: ReadonlySet<string>): Promise<VaultFile[]> {
    return (await this.#vault.list()).filter(({ sha256 }) => hashes.has(sha256));
  }

  async #remove(files: readonly VaultFile[], nowMs: number): Promise<VaultFile[]> {
    const removed: VaultFile[] = [];
    for (const file of files) {
      if (isHeld(file, nowMs)) continue;
      if (await this.#vault.remove(file.sha256, nowMs - HELD_MS)) removed.push(file);
    }
    return removed;
  }
}

const NO_JOBS = { jobs: 0, outputs: 0 };

const isHeld = ({ heldMs }: VaultFile, nowMs: number): boolean => heldMs >= nowMs - HELD_MS;

const deleted = (
  counts: { readonly jobs: number; readonly outputs: number },
  files: readonly VaultFile[],
): Deleted => ({
  ...counts,
  files: files.length,
  bytes: files.reduce((sum, { sizeBytes }) => sum + sizeBytes, 0),
  sha256s: files.map(({ sha256 }) => sha256),
});

const keptHashes = async (sql: Sql): Promise<Set<string>> =>
  new Set((await keptFiles(sql)).map(({ sha256 }) => sha256));

interface DeletedRows {
  readonly jobs: number;
  readonly outputs: number;
  /** Files that only these jobs refer to. */
  readonly files: ReadonlySet<string>;
}

async function deleteRows(sql: Sql, jobIds: readonly string[]): Promise<Result<DeletedRows, ArchiveProblem>> {
  const before = await keptHashes(sql);
  const ids = [...new Set(jobIds)];
  const rowIds = new Map<string, number>();
  for (const id of ids) {
    const row = await sql.first<{ rowId: number }>('SELECT row_id AS "rowId" FROM jobs WHERE id = ?', [id]);
    if (!row) return resultProblem(jobUnknown(id));
    rowIds.set(id, row.rowId);
  }
  let outputs = 0;
  for (const [id, rowId] of rowIds) {
    // Latest first, because a reprint refers to the output that it repeats.
    const own = await sql.all<{ id: number }>('SELECT id FROM outputs WHERE job_id = ? ORDER BY id DESC', [
      id,
    ]);
    for (const output of own) {
      for (const table of ['output_files', 'verifications', 'output_records'])
        await sql.run(`DELETE FROM ${table} WHERE output_id = ?`, [output.id]);
      await sql.run('DELETE FROM outputs WHERE id = ?', [output.id]);
    }
    await sql.run('DELETE FROM note_photos WHERE note_id IN (SELECT id FROM panel_notes WHERE job_id = ?)', [
      id,
    ]);
    for (const table of [
      'job_actuals',
      'artwork_comparisons',
      'panel_notes',
      'output_numbers',
      'job_openings',
      'open_jobs',
    ])
      await sql.run(`DELETE FROM ${table} WHERE job_id = ?`, [id]);
    await sql.run('DELETE FROM job_words WHERE rowid = ?', [rowId]);
    await sql.run('DELETE FROM jobs WHERE id = ?', [id]);
    outputs += own.length;
  }
  const after = await keptHashes(sql);
  const files = new Set([...before].filter((sha256) => !after.has(sha256)));
  return resultOk({ jobs: ids.length, outputs, files });
}
