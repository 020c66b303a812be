/** Checks a database on a separate thread; see database-check.ts for the other end. */
import { parentPort, workerData } from 'node:worker_threads';
import Database from 'better-sqlite3';
import { present } from '../../core/measure/present.ts';

const db = new Database(workerData as string, { readonly: true });
try {
  present(parentPort, 'The thread that started this one').postMessage(
    String(db.pragma('quick_check(1)', { simple: true })),
  );
} finally {
  db.close();
}
