/**
 * The queue of a shared archive: tasks for any worker, in the database of all seats. pg-boss records which worker has
 * which task, gives the tasks of a killed worker to another, and counts the tries. The notes that people see are in a
 * table beside it.
 */
import { hostname, userInfo } from 'node:os';
import pg from 'pg';
import type { PgBoss } from 'pg-boss';
import type { Progress } from '../../core/contract/parts.ts';
import { present } from '../../core/measure/present.ts';
import type { Vault } from '../archive/port.ts';
import { linesThere, PostgresLine } from '../archive/postgres-line.ts';
import type { PostgresPlace } from '../archive/postgres-place.ts';
import { FileVault, SHARED, vaultFolder } from '../archive/vault.ts';
import { PROGRAM_VERSION } from '../files/program.ts';
import type { TaskName } from '../tasks/tasks.ts';
import { QUEUE, SCHEMA } from './queue-names.ts';
import { makeQueue, type Statements } from './queue-tables.ts';

/** Classes of the locks of askers and of workers. */
const ASKERS = 726_437;
const WORKERS = 726_438;
const CHANNEL = 'panelwright_tasks';
const CONNECTIONS = 3;
const CONNECT_MS = 10_000;
/** A worker that sends nothing for this long has lost its task; pg-boss allows no shorter time. */
export const LAPSE_SECONDS = 10;
export const BEAT_MS = 3000;
/** How often to look for tasks of workers that are gone. */
const WATCH_SECONDS = 3;
/** Tries after the first. */
const MORE_TRIES = 5;
const MOST_SECONDS = 6 * 3600;
const KEPT_SECONDS = 2 * 24 * 3600;

/** Higher values go first; equal ones in the order of asking. */
export const PRIORITY = {
  /** A person is waiting at the screen. */
  screen: 20,
  output: 10,
  background: 0,
} as const;

interface NewTask {
  readonly task: TaskName;
  /** For people: `Output 3 of job ACL-0417`. */
  readonly title: string;
  readonly priority: number;
  readonly request: unknown;
}

interface TaskData extends Omit<NewTask, 'priority'> {
  /** The line of the seat that is waiting for it. */
  readonly asker: number;
  /** For people: `anna at desk-2`. */
  readonly askedBy: string;
}

export interface TakenTask extends TaskData {
  readonly id: string;
  readonly retryCount: number;
}

/** The notification that all listeners receive. */
export type TaskNews =
  | { readonly is: 'new' }
  | { readonly is: 'progress'; readonly id: string; readonly progress: Progress }
  | { readonly is: 'ended'; readonly id: string }
  | { readonly is: 'canceled'; readonly id: string };

export interface TaskState {
  readonly id: string;
  readonly state: 'waiting' | 'running' | 'done' | 'canceled' | 'failed';
  /** How many tasks are ahead of it. */
  readonly before: number;
  readonly output?: unknown;
}

export interface QueueWorker {
  readonly machine: string;
}

export interface TaskQueueOptions {
  readonly isWorker?: boolean;
  /** Called with errors that the queue recovers from by itself. */
  readonly onError?: (error: unknown) => void;
}

type Execute = Statements['executeSql'];

export class TaskQueue {
  /** Artwork and outputs, byte for byte. */
  readonly vault: Vault;
  /** Documents that are too large for a row; each is deleted once it was read. */
  readonly exchange: FileVault;
  readonly folder: string;
  /** The name of the person at this seat. */
  readonly name = `${person()} at ${hostname()}`;
  readonly #pool: pg.Pool;
  readonly #line: PostgresLine;
  readonly #boss: PgBoss;

  private constructor({ folder, connection }: PostgresPlace, boss: typeof PgBoss, options: TaskQueueOptions) {
    const { isWorker = false, onError = () => undefined } = options;
    this.folder = folder;
    this.vault = new FileVault(vaultFolder(folder), { modes: SHARED });
    this.exchange = new FileVault(`${vaultFolder(folder)}-exchange`, { modes: SHARED });
    const config = { ...connection, connectionTimeoutMillis: CONNECT_MS };
    this.#pool = new pg.Pool({ ...config, max: CONNECTIONS });
    this.#pool.on('error', () => undefined);
    this.#line = new PostgresLine({
      config: {
        ...config,
        ...(isWorker && { application_name: `${WORKER_NAME}${hostname()}`.slice(0, 63) }),
      },
      lockClass: isWorker ? WORKERS : ASKERS,
      channel: CHANNEL,
    });
    this.#boss = new boss({
      db: { executeSql: this.#execute },
      schema: SCHEMA,
      supervise: isWorker,
      superviseIntervalSeconds: WATCH_SECONDS,
      monitorIntervalSeconds: WATCH_SECONDS,
      schedule: false,
      registerInstance: false,
      reindex: isWorker,
      monitorVacuum: false,
      openTelemetry: { enabled: false },
      bamIntervalSeconds: 3600,
      flowIntervalSeconds: 3600,
    });
    this.#boss.on('error', onError);
  }

  /** Rejects where the server cannot be reached. */
  static async open(place: PostgresPlace, options: TaskQueueOptions = {}): Promise<TaskQueue> {
    const { PgBoss } = await import('pg-boss');
    const queue = new TaskQueue(place, PgBoss, options);
    try {
      await queue.#boss.start();
      await queue.#together(async (db) => await makeQueue(db));
      await queue.#boss.createQueue(QUEUE, {
        heartbeatSeconds: LAPSE_SECONDS,
        retryLimit: MORE_TRIES,
        retryDelay: 1,
        expireInSeconds: MOST_SECONDS,
        deleteAfterSeconds: KEPT_SECONDS,
      });
      await queue.#line.connect();
      return queue;
    } catch (error) {
      await queue.close();
      throw error;
    }
  }

  async close(): Promise<void> {
    await this.#boss.stop({ graceful: false }).catch(() => undefined);
    await this.#line.close();
    await this.#pool.end();
  }

  /** The listener is called without a notification when a lost connection is back: anything may have changed before. */
  hear(listener: (news: TaskNews | undefined) => void): () => void {
    return this.#line.hear((told) =>
      listener(told === undefined ? undefined : (JSON.parse(told) as TaskNews)),
    );
  }

  async tell(news: TaskNews): Promise<void> {
    await this.#execute(`SELECT pg_notify('${CHANNEL}', $1)`, [JSON.stringify(news)]);
  }

  /** Workers with this version of the program only; another version could make other bytes. */
  async workers(): Promise<QueueWorker[]> {
    const { rows } = await this.#execute(
      `SELECT application_name AS name FROM pg_stat_activity JOIN (${linesThere(WORKERS)}) AS lines USING (pid)`,
    );
    return (rows as { name: string }[])
      .filter(({ name }) => name.startsWith(WORKER_NAME))
      .map(({ name }) => ({ machine: name.slice(WORKER_NAME.length) }));
  }

  async send({ priority, ...task }: NewTask): Promise<string> {
    const data: TaskData = { ...task, asker: this.#line.number, askedBy: this.name };
    const id = await this.#boss.send(QUEUE, data, { priority });
    await this.tell({ is: 'new' });
    return present(id, 'The number of a task');
  }

  /** The next task, and the outcome of an earlier unfinished try. */
  async take(): Promise<TakenTask | undefined> {
    const [job] = await this.#boss.fetch<TaskData>(QUEUE);
    if (!job) return undefined;
    await this.#together(async ({ executeSql }) => {
      if (job.retryCount > 0)
        await executeSql(
          `INSERT INTO ${SCHEMA}.notes (task, kind, text)
           SELECT task, 'lapsed', $2 || split_part(text, $3, 2) FROM
             (SELECT * FROM ${SCHEMA}.notes WHERE task = $1 ORDER BY number DESC LIMIT 1) AS last
           WHERE kind = 'begun'`,
          [job.id, LAPSED, BEGUN],
        );
      await this.#note(executeSql, job.id, 'begun', `${BEGUN}${this.name}`);
    });
    return { id: job.id, retryCount: job.retryCount, ...job.data };
  }

  /** Confirms that this worker still has its task; false where it has lost it. */
  async beat(task: TakenTask): Promise<boolean> {
    return await this.#hasSettled(this.#boss.touch(QUEUE, task));
  }

  /** Ends a task with its result, and adds the note; false where another try has it by now. */
  async finish(task: TakenTask, output: object): Promise<boolean> {
    return await this.#end(task, 'done', `done by ${this.name}`, async (db) =>
      this.#hasSettled(this.#boss.complete(QUEUE, task, output, { db })),
    );
  }

  /** Returns a task to the queue for another worker; `reason` is a sentence. */
  async giveBack(task: TakenTask, reason: string): Promise<void> {
    await this.#end(task, 'failed', `${this.name}: ${reason}`, async (db) =>
      this.#hasSettled(this.#boss.fail(QUEUE, task, { reason }, { db })),
    );
    await this.tell({ is: 'new' });
  }

  /** Cancels a task, whichever worker has it; false where it has ended. */
  async cancel(id: string): Promise<boolean> {
    const isCanceled = await this.#together(async (db) => {
      if (!(await this.#hasSettled(this.#boss.cancel(QUEUE, id, { db })))) return false;
      await this.#note(db.executeSql, id, 'canceled', `canceled by ${this.name}`);
      return true;
    });
    if (isCanceled) {
      await this.tell({ is: 'canceled', id });
      await this.tell({ is: 'ended', id });
    }
    return isCanceled;
  }

  /** Takes back a task that no running worker has; false where a worker has it or it has ended. */
  async withdraw(id: string): Promise<boolean> {
    const { rows } = await this.#execute(
      `DELETE FROM ${SCHEMA}.job WHERE name = $1 AND id = $2
         AND (state < 'active' OR state = 'active' AND heartbeat_on + heartbeat_seconds * interval '1 s' < now())
       RETURNING id`,
      [QUEUE, id],
    );
    return rows.length > 0;
  }

  async states(ids: readonly string[]): Promise<TaskState[]> {
    const { rows } = await this.#execute(
      `SELECT id, state, CASE WHEN state = 'completed' THEN output END AS output,
         CASE WHEN state < 'active' THEN (SELECT count(*) FROM ${SCHEMA}.job AS other
           WHERE other.name = job.name AND other.state < 'active' AND (other.priority > job.priority
             OR other.priority = job.priority AND other.created_on < job.created_on)) ELSE 0 END AS before
       FROM ${SCHEMA}.job WHERE name = $1 AND id = ANY($2)`,
      [QUEUE, ids],
    );
    return (rows as { id: string; state: string; output: unknown; before: string }[]).map((row) => ({
      id: row.id,
      state: present(taskStateOf(row.state), 'The state of a task'),
      before: Number(row.before),
      ...(row.output !== null && { output: row.output }),
    }));
  }

  /** What happened to a task, in sentences. */
  async notes(id: string): Promise<{ readonly kind: string; readonly text: string }[]> {
    const { rows } = await this.#execute(
      `SELECT kind, text FROM ${SCHEMA}.notes WHERE task = $1 ORDER BY number`,
      [id],
    );
    return rows as { kind: string; text: string }[];
  }

  /** Tasks whose asking seat is gone, so nobody waits for them. */
  async orphans(): Promise<string[]> {
    const { rows } = await this.#execute(
      `SELECT id FROM ${SCHEMA}.job WHERE name = $1 AND state < 'completed'
         AND (data ->> 'asker')::bigint NOT IN (SELECT line FROM (${linesThere(ASKERS)}) AS lines)`,
      [QUEUE],
    );
    return (rows as { id: string }[]).map(({ id }) => id);
  }

  /** Returns the rows of a statement on the tables of the queue. */
  async ask<Row>(statement: string, values: readonly unknown[] = []): Promise<Row[]> {
    return (await this.#execute(statement, [...values])).rows as Row[];
  }

  readonly #execute: Execute = async (text, values) => await this.#pool.query(text, values as unknown[]);

  async #hasSettled(settling: Promise<{ readonly affected?: number }>): Promise<boolean> {
    return ((await settling).affected ?? 0) > 0;
  }

  async #end(
    task: TakenTask,
    kind: string,
    text: string,
    settle: (db: Statements) => Promise<boolean>,
  ): Promise<boolean> {
    const isOurs = await this.#together(async (db) => {
      if (!(await settle(db))) return false;
      await this.#note(db.executeSql, task.id, kind, text);
      return true;
    });
    if (isOurs) await this.tell({ is: 'ended', id: task.id });
    return isOurs;
  }

  async #note(execute: Execute, id: string, kind: string, text: string): Promise<void> {
    await execute(`INSERT INTO ${SCHEMA}.notes (task, kind, text) VALUES ($1, $2, $3)`, [id, kind, text]);
  }

  async #together<T>(work: (db: Statements) => Promise<T>): Promise<T> {
    const client = await this.#pool.connect();
    let isLost = false;
    try {
      await client.query('BEGIN');
      const outcome = await work({
        executeSql: async (text, values) => await client.query(text, values as unknown[]),
      });
      await client.query('COMMIT');
      return outcome;
    } catch (error) {
      isLost = (await client.query('ROLLBACK').catch(() => 'lost')) === 'lost';
      throw error;
    } finally {
      client.release(isLost);
    }
  }
}

const WORKER_NAME = `panelwright worker ${PROGRAM_VERSION} `;
const BEGUN = 'begun by ';
const LAPSED = `no more signs for ${LAPSE_SECONDS} seconds from `;

const STATES: Readonly<Record<string, TaskState['state']>> = {
  created: 'waiting',
  retry: 'waiting',
  active: 'running',
  completed: 'done',
  cancelled: 'canceled',
  failed: 'failed',
};

/** The name that people see for a state of pg-boss. */
export const taskStateOf = (state: string): TaskState['state'] | undefined => STATES[state];

function person(): string {
  try {
    return userInfo().username;
  } catch {
    return 'somebody';
  }
}
