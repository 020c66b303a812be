/** Archives as earlier versions of the program left them. */
import Database from 'better-sqlite3';
import { jobToJson } from '../../core/job/job-json.ts';
import { MIGRATIONS } from '../../main/archive/migrations.ts';
import { smallJob } from '../support/small-job.ts';

/** Every version that a program with these migrations can meet; 0 is a file that was made and not yet filled. */
export const EARLIER_VERSIONS: readonly number[] = MIGRATIONS.map((_, version) => version);

export const EARLIER_JOBS = 40;

/** A database of that version: the first `version` steps run on jobs, runs and files of the first. */
export function databaseOfVersion(path: string, version: number): void {
  const db = new Database(path);
  for (const [step, sql] of MIGRATIONS.slice(0, version).entries()) {
    db.exec(sql);
    if (step === 0) db.transaction(() => jobsInserted(db))();
  }
  db.pragma(`user_version = ${version}`);
  db.close();
}

/** Written in the terms of version 1, from where the later steps bring them on. */
function jobsInserted(db: Database.Database): void {
  for (let n = 1; n <= EARLIER_JOBS; n++) {
    const job = smallJob({ id: `earlier-${n}`, number: `E-${n}`, notes: `kept since long ago ${n}` });
    const document = jobToJson(job);
    db.prepare(
      `INSERT INTO jobs (row_id, id, number, name, customer, unit_name, document, revision, created_at, updated_at)
       VALUES (?, ?, ?, ?, ?, ?, ?, 3, '2026-02-03T04:05:06Z', '2026-03-04T05:06:07Z')`,
    ).run(n, job.id, job.number, job.name, job.customer, job.vehicle.unitNumber, document);
    db.prepare(
      `INSERT INTO job_text (rowid, number, name, customer, unit_name, notes, panel_labels)
       VALUES (?, ?, ?, ?, ?, ?, 'LH-01 LH-02')`,
    ).run(n, job.number, job.name, job.customer, job.vehicle.unitNumber, job.notes);
    db.prepare(
      `INSERT INTO runs (id, job_id, kind, reason, at, program_version, document, artwork_sha256, folder)
       VALUES (?, ?, 'output', '', '2026-03-04T05:06:07Z', '0.0.9', ?, ?, 'out')`,
    ).run(n, job.id, document, 'a'.repeat(64));
    db.prepare(
      `INSERT INTO run_files (run_id, name, kind, sha256, size_bytes, panel_id, panel_label)
       VALUES (?, 'panels/E_LH-01.pdf', 'panel', ?, 71, 'p1', 'LH-01')`,
    ).run(n, 'b'.repeat(64));
  }
}
