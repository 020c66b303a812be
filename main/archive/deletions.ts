/**
 * What is deleted for good: jobs with their history, and files of the vault that nothing names any more. The database
 * comes first; a kill after it leaves files that the next cleaning removes.
 */
import type Database from 'better-sqlite3';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { jobUnknown } from './jobs.ts';
import { keptFiles } from './kept-files.ts';
import type { ArchiveProblem, Deleted, Deletions } from './port.ts';
import type { Store } from './store.ts';
import type { FileVault, VaultFile } from './vault.ts';

/** A file that came in or was asked for since then may be about to be named by another window or program. */
const HELD_MS = 3_600_000;

export class SqliteDeletions implements Deletions {
  readonly #store: Store;
  readonly #vault: FileVault;

  constructor(store: Store, vault: FileVault) {
    this.#store = store;
    this.#vault = vault;
  }

  async preview(jobIds: readonly string[]): Promise<Result<Deleted, ArchiveProblem>> {
    const rows = await this.#store.tryOut((db) => deleteRows(db, jobIds));
    if (!rows.ok) return rows;
    const { files, ...counts } = rows.value;
    return resultOk(deleted(counts, await this.#filesOf(files)));
  }

  async deleteJobs(jobIds: readonly string[], nowMs: number): Promise<Result<Deleted, ArchiveProblem>> {
    const rows = await this.#store.write((db) => deleteRows(db, jobIds));
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
    // Listed before the database is read: what comes in later is not looked at.
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

const keptHashes = (db: Database.Database): Set<string> => new Set(keptFiles(db).map(({ sha256 }) => sha256));

interface DeletedRows {
  readonly jobs: number;
  readonly outputs: number;
  /** Named by these jobs alone. */
  readonly files: ReadonlySet<string>;
}

function deleteRows(db: Database.Database, jobIds: readonly string[]): Result<DeletedRows, ArchiveProblem> {
  const before = keptHashes(db);
  const rowId = db.prepare<[string], number>('SELECT row_id FROM jobs WHERE id = ?').pluck();
  const unknown = jobIds.find((id) => rowId.get(id) === undefined);
  if (unknown !== undefined) return resultProblem(jobUnknown(unknown));
  let outputs = 0;
  for (const id of new Set(jobIds)) {
    // The latest first: a reprint names the output that it repeats.
    const ids = db
      .prepare<[string], number>('SELECT id FROM outputs WHERE job_id = ? ORDER BY id DESC')
      .pluck()
      .all(id);
    for (const output of ids) {
      for (const table of ['output_files', 'verifications', 'output_records'])
        db.prepare(`DELETE FROM ${table} WHERE output_id = ?`).run(output);
      db.prepare('DELETE FROM outputs WHERE id = ?').run(output);
    }
    db.prepare('DELETE FROM note_photos WHERE note_id IN (SELECT id FROM panel_notes WHERE job_id = ?)').run(
      id,
    );
    for (const table of ['job_actuals', 'panel_notes', 'output_numbers', 'job_openings'])
      db.prepare(`DELETE FROM ${table} WHERE job_id = ?`).run(id);
    db.prepare('DELETE FROM job_words WHERE rowid = ?').run(rowId.get(id));
    db.prepare('DELETE FROM jobs WHERE id = ?').run(id);
    outputs += ids.length;
  }
  const after = keptHashes(db);
  const files = new Set([...before].filter((sha256) => !after.has(sha256)));
  return resultOk({ jobs: new Set(jobIds).size, outputs, files });
}
