/** A database as version 1 of the schema leaves it, and a step to a version that no release has. */
import { writeFileSync } from 'node:fs';
import type Database from 'better-sqlite3';
import { jobToJson } from '../../core/job/job-json.ts';
import { openDatabase } from '../../main/archive/database.ts';
import { StoredJobs } from '../../main/archive/jobs.ts';
import { StoredOutputs } from '../../main/archive/outputs.ts';
import { SCHEMA, type SchemaStep } from '../../main/archive/schema.ts';
import { SqliteJobList } from '../../main/archive/sqlite-job-list.ts';
import { SqliteStore } from '../../main/archive/sqlite-store.ts';
import { resultValue } from '../support/panel-check.ts';
import { smallJob } from '../support/small-job.ts';

export const INVENTED_STEP: SchemaStep = {
  to: SCHEMA.length + 1,
  sql: `
    ALTER TABLE jobs ADD COLUMN parked TEXT NOT NULL DEFAULT '';
    UPDATE jobs SET parked = 'yard of ' || customer;
  `,
};
export const LATER_SCHEMA: readonly SchemaStep[] = [...SCHEMA, INVENTED_STEP];

/** 0 is a file that was made and not yet filled. */
export const EARLIER_VERSIONS = [0, 1] as const;

export const EARLIER_JOBS = 40;

export async function writeDatabaseOfVersion(path: string, version: (typeof EARLIER_VERSIONS)[number]) {
  if (version === 0) return writeFileSync(path, '');
  const { db } = resultValue(openDatabase(path));
  const store = new SqliteStore(db, path, false);
  const [jobs, outputs] = [storedJobs(db, store), new StoredOutputs(store)];
  for (let n = 1; n <= EARLIER_JOBS; n++) {
    const job = smallJob({ id: `earlier-${n}`, number: `E-${n}`, notes: `kept since long ago ${n}` });
    resultValue(await jobs.save(job, { panelLabels: ['LH-01', 'LH-02'], now: '2026-03-04T05:06:07Z' }));
    await outputs.keep({
      jobId: job.id,
      kind: 'output',
      reason: '',
      at: '2026-03-04T05:06:07Z',
      programVersion: '0.0.9',
      document: jobToJson(job),
      artworkSha256: 'a'.repeat(64),
      folder: 'out',
      files: [
        {
          name: 'panels/E_LH-01.pdf',
          kind: 'panel',
          sha256: 'b'.repeat(64),
          sizeBytes: 71,
          panelId: 'p1',
          panelLabel: 'LH-01',
        },
      ],
    });
  }
  db.close();
}

function storedJobs(db: Database.Database, store: SqliteStore): StoredJobs {
  const list = new SqliteJobList(db);
  return new StoredJobs(store, async (filter) => await store.read(async () => list.page(filter)));
}

export interface FoundInDatabase {
  readonly jobs: number;
  readonly withOutput: number;
  readonly bySearch: number;
}

/** Opens the database with a schema, which takes the steps that are missing, and counts what it holds. */
export async function foundInDatabase(path: string, schema: readonly SchemaStep[]): Promise<FoundInDatabase> {
  const { db } = resultValue(openDatabase(path, {}, schema));
  try {
    const jobs = storedJobs(db, new SqliteStore(db, path, false));
    const all = await jobs.list();
    const bySearch = (await jobs.list({ text: 'long ago lh-02' })).length;
    return {
      jobs: all.length,
      withOutput: all.filter(({ outputCount }) => outputCount === 1).length,
      bySearch,
    };
  } finally {
    db.close();
  }
}
