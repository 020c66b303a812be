import { SCHEMA } from './queue-names.ts';

/** Runs a statement, in the form that pg-boss calls. */
export interface Statements {
  executeSql(text: string, values?: unknown[]): Promise<{ readonly rows: unknown[] }>;
}

const NOTES_DAYS = 30;
const MAKING = 726_439;

/** Makes the tables that pg-boss lacks: what happened to each task, in words for people. Runs in a transaction. */
export async function makeQueue({ executeSql }: Statements): Promise<void> {
  // Otherwise two programs that start at the same moment would both make it.
  await executeSql(`SELECT pg_advisory_xact_lock(${MAKING})`);
  await executeSql(
    `CREATE TABLE IF NOT EXISTS ${SCHEMA}.notes (
       number BIGINT GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
       task   UUID NOT NULL,
       at     TIMESTAMPTZ NOT NULL DEFAULT now(),
       kind   TEXT NOT NULL CHECK (kind IN ('begun', 'lapsed', 'failed', 'canceled', 'done')),
       text   TEXT NOT NULL
     )`,
  );
  await executeSql(`CREATE INDEX IF NOT EXISTS notes_by_task ON ${SCHEMA}.notes (task, number)`);
  await executeSql(`DELETE FROM ${SCHEMA}.notes WHERE at < now() - interval '${NOTES_DAYS} days'`);
}
