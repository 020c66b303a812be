/** Looks a database through on a thread of its own; see database-check.ts for the other end. */
import { parentPort, workerData } from 'node:worker_threads';
import Database from 'better-sqlite3';

const db = new Database(workerData as string, { readonly: true });
try {
  parentPort!.postMessage(String(db.pragma('quick_check(1)', { simple: true })));
} finally {
  db.close();
}
