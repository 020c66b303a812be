/**
 * Checks a large database after a crash, while people work. SQLite's log repairs what a crash interrupted; this check
 * finds damage that only a failing disk causes.
 */
import { Worker } from 'node:worker_threads';
import { moduleBeside } from '../files/module-beside.ts';
import { databaseDamaged, databaseProblem } from './database-problems.ts';
import type { ArchiveProblem } from './port.ts';

export interface DatabaseCheck {
  /** Undefined where the database is sound, or the check was stopped. */
  readonly outcome: Promise<ArchiveProblem | undefined>;
  stop(): Promise<void>;
}

/** By the time of this message, something may have been saved. */
const REMEDY =
  'Close Panelwright, and restore a backup or have the archive set aside with: panelwright archive-set-aside. Nothing more is written to it.';

export function beginDatabaseCheck(path: string): DatabaseCheck {
  const worker = new Worker(moduleBeside(import.meta.url, './check-worker'), { workerData: path });
  worker.unref();
  const outcome = new Promise<ArchiveProblem | undefined>((resolve) => {
    worker.once('message', (found: string) =>
      resolve(found === 'ok' ? undefined : { ...databaseDamaged(path, found), remedy: REMEDY }),
    );
    worker.once('error', (error) => resolve(databaseProblem(error, path)));
    worker.once('exit', () => resolve(undefined));
  });
  return { outcome, stop: async () => void (await worker.terminate()) };
}
