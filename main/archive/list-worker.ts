/** Reads the list of jobs on a separate thread; see list-thread.ts for the other end. */
import { parentPort, workerData } from 'node:worker_threads';
import Database from 'better-sqlite3';
import { present } from '../../core/measure/present.ts';
import { THREAD_END } from '../files/thread-end.ts';

import type { ListQuestion, ListReply } from './list-thread.ts';
import { SqliteJobList } from './sqlite-job-list.ts';

const port = present(parentPort, 'The thread that started this one');
let opened: { readonly db: Database.Database; readonly list: SqliteJobList } | undefined;

port.on('message', (message: ListQuestion | typeof THREAD_END) => {
  if (message === THREAD_END) {
    opened?.db.close();
    // Ends only this thread.
    process.exit();
  }
  port.postMessage(answer(message));
});

function answer({ id, filter }: ListQuestion): ListReply {
  try {
    const { db, list } = open();
    return { id, page: db.transaction(() => list.page(filter)).deferred() };
  } catch (error) {
    const { message } = error as Error;
    return { id, error: { message, ...(error instanceof Database.SqliteError && { code: error.code }) } };
  }
}

function open() {
  if (opened) return opened;
  const db = new Database(workerData as string, { readonly: true, fileMustExist: true });
  opened = { db, list: new SqliteJobList(db) };
  return opened;
}
