/** A shared archive: a PostgreSQL database, and a vault of files in a folder that all seats can reach. */
import Database from 'better-sqlite3';
import pg from 'pg';
import { present } from '../../core/measure/present.ts';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { sweepScratch } from '../files/scratch-folder.ts';
import { schemaHash } from './migrate.ts';
import { copyToFolder, type OpenFolder } from './move-archive.ts';
import { StoredOpenJobs } from './open-jobs.ts';
import { type Archive, ArchiveFailure, type ArchiveOptions, type ArchiveProblem } from './port.ts';
import { PostgresChanges } from './postgres-changes.ts';
import { jobPage } from './postgres-job-list.ts';
import { type PostgresPlace, postgresPlace } from './postgres-place.ts';
import { postgresStatements } from './postgres-schema.ts';
import { PostgresStore, postgresDialect } from './postgres-store.ts';
import { archiveRooms, type OpenedArchive } from './rooms.ts';
import { SCHEMA, type SchemaStep } from './schema.ts';
import { SearchWords } from './search.ts';
import type { Sql } from './sql.ts';
import { FileVault, makeVaultFolder, SHARED, vaultFolder } from './vault.ts';

const BUSY_WAIT_MS = 5000;
const CONNECT_MS = 10_000;
/** Per seat; a window makes few requests at once. */
const CONNECTIONS = 4;

/** Opens a shared archive, or creates one in an empty database. `open` opens the archive of a backup. */
export async function openPostgresArchive(
  place: string,
  { busyWaitMs = BUSY_WAIT_MS }: ArchiveOptions,
  open: OpenFolder,
): Promise<Result<OpenedArchive, ArchiveProblem>> {
  const named = postgresPlace(place);
  if (!named.ok) return named;
  const { address, folder } = named.value;
  const config = poolConfig(named.value);
  const pool = new pg.Pool(config);
  // If the server ends an idle connection, the next query opens another.
  pool.on('error', () => undefined);
  const search = new SearchWords(new Database(':memory:'));
  const parts = { pool, address, busyWaitMs, dialect: postgresDialect(search) };
  const store = new PostgresStore({ ...parts, isReadOnly: false });
  const vault = new FileVault(vaultFolder(folder), {
    modes: SHARED,
    noteFiles: async () =>
      await store.write((sql) => sql.run('UPDATE meta SET keeps_files = 1 WHERE keeps_files = 0')),
  });
  try {
    const isReadOnly = await store.read(isStandby);
    const problem = isReadOnly
      ? await store.read((sql) => migrated(sql, address, false))
      : await store.write((sql) => migrated(sql, address, true));
    const refused = problem ?? (await store.read((sql) => vaultProblem(sql, vault, folder)));
    if (refused) {
      await pool.end();
      return resultProblem(refused);
    }
    if (!isReadOnly) {
      await makeVaultFolder(folder);
      vault.sweep();
    }
    sweepScratch();
    const used = isReadOnly ? new PostgresStore({ ...parts, isReadOnly }) : store;
    const changes = new PostgresChanges(config);
    const openJobs = new StoredOpenJobs(used, changes.seat);
    const archive: Archive = {
      folder,
      isReadOnly,
      ...archiveRooms({
        store: used,
        vault,
        page: async (filter) => await used.read((sql) => jobPage(sql, filter, search)),
        own: {
          startupCheck: undefined,
          trouble: databaseTrouble,
          backUp: async (to, tools) => await copyToFolder({ store: used, vault }, to, { ...tools, open }),
        },
      }),
      openJobs,
      watch: (listener) => changes.watch(listener),
      close: async () => {
        if (!isReadOnly) await openJobs.releaseSeat().catch(() => undefined);
        await changes.close();
        await used.close();
      },
    };
    return resultOk({ archive, store: used, vault });
  } catch (error) {
    await pool.end();
    if (error instanceof ArchiveFailure) return resultProblem(error.problem);
    throw error;
  }
}

const poolConfig = ({ connection }: PostgresPlace): pg.PoolConfig => ({
  ...connection,
  max: CONNECTIONS,
  connectionTimeoutMillis: CONNECT_MS,
  types: {
    getTypeParser: ((id: number) => PARSERS.get(id) ?? String) as pg.CustomTypesConfig['getTypeParser'],
  },
});

/** Every number in the archive is a JavaScript number, as in SQLite: int8, int4, int2, float8 and float4. */
const PARSERS = new Map<number, (text: string) => unknown>([
  ...[20, 23, 21, 701, 700].map((id): [number, (text: string) => unknown] => [id, Number]),
  [16, (text) => text === 't'],
]);

const isStandby = async (sql: Sql): Promise<boolean> =>
  present(
    await sql.first<{ standby: boolean }>('SELECT pg_is_in_recovery() AS standby'),
    'The row that a statement gives',
  ).standby;

/** Applies the missing schema steps, or says why this program must not use the database. */
async function migrated(
  sql: Sql,
  address: string,
  mayWrite: boolean,
  steps: readonly SchemaStep[] = SCHEMA,
): Promise<ArchiveProblem | undefined> {
  const found = present(
    await sql.first<{ meta: string | null; jobs: string | null; encoding: string }>(
      `SELECT to_regclass('meta')::text AS meta, to_regclass('jobs')::text AS jobs,
       current_setting('server_encoding') AS encoding`,
    ),
    'The row that a statement gives',
  );
  if (found.encoding !== 'UTF8') return otherEncoding(address, found.encoding);
  if (found.meta === null) {
    if (found.jobs !== null || !mayWrite) return otherDatabase(address);
    await take(sql, steps, 0);
    return undefined;
  }
  const kept = await sql.first<{ hash: string }>('SELECT schema_hash AS hash FROM meta');
  const version = steps.findIndex(
    (_, index) => schemaHash(steps.slice(0, index + 1), postgresStatements) === kept?.hash,
  );
  if (version < 0) return otherVersion(address);
  if (mayWrite) await take(sql, steps, version + 1);
  return undefined;
}

async function take(sql: Sql, steps: readonly SchemaStep[], from: number): Promise<void> {
  if (from === steps.length) return;
  for (const step of steps.slice(from)) await sql.run(postgresStatements(step));
  await sql.run(
    `INSERT INTO meta (id, schema_hash) VALUES (1, ?) ON CONFLICT (id) DO UPDATE SET schema_hash = excluded.schema_hash`,
    [schemaHash(steps, postgresStatements)],
  );
}

/** Detects a vault of another archive, or the folder of a share that is not mounted. */
async function vaultProblem(sql: Sql, vault: FileVault, folder: string): Promise<ArchiveProblem | undefined> {
  const { keepsFiles, hasJobs, namesFiles } = present(
    await sql.first<Record<string, number | boolean>>(
      `SELECT keeps_files AS "keepsFiles", EXISTS (SELECT 1 FROM jobs) AS "hasJobs",
       EXISTS (SELECT 1 FROM output_files) OR EXISTS (SELECT 1 FROM jobs WHERE artwork_sha256 IS NOT NULL)
         AS "namesFiles" FROM meta`,
    ),
    'The row that a statement gives',
  );
  const isEmpty = vault.isEmpty();
  if (isEmpty && keepsFiles === 1 && namesFiles) return vaultAbsent(folder);
  if (!isEmpty && keepsFiles === 0 && !hasJobs) return vaultForeign(folder);
  return undefined;
}

/** The server has no check that we can call, so reading every document finds damaged pages. */
async function databaseTrouble(sql: Sql): Promise<string[]> {
  for (const [table, column] of [
    ['jobs', 'document'],
    ['outputs', 'document'],
    ['verifications', 'report'],
    ['shop_items', 'content'],
  ] as const)
    await sql.all(`SELECT sum(length(${column})) AS read FROM ${table}`);
  const broken = await sql.all<{ name: string }>(
    'SELECT indexrelid::regclass::text AS name FROM pg_index WHERE NOT indisvalid',
  );
  return broken.map(({ name }) => `index ${name} is not valid`);
}

const otherEncoding = (address: string, encoding: string): ArchiveProblem => ({
  code: 'archive-refused',
  message: `The database ${address} keeps its texts as ${encoding}, which has no room for all letters.`,
  remedy: 'Make a database with the encoding UTF8, and open that one.',
});

const otherDatabase = (address: string): ArchiveProblem => ({
  code: 'archive-other-draft',
  message: `The database ${address} holds no archive of Panelwright.`,
  remedy: 'Make an empty database for it, and open that one. Nothing was changed.',
});

const otherVersion = (address: string): ArchiveProblem => ({
  code: 'archive-other-draft',
  message: `The shared archive ${address} was written by another version of Panelwright.`,
  remedy: 'Bring all seats to the same version, the latest one. Nothing was changed.',
});

const vaultAbsent = (folder: string): ArchiveProblem => ({
  code: 'archive-vault-absent',
  message: `The folder ${folder} holds none of the files that the shared archive keeps.`,
  remedy: 'Connect the network share, or name the right folder with --vault. Nothing was changed.',
});

const vaultForeign = (folder: string): ArchiveProblem => ({
  code: 'archive-vault-absent',
  message: `The folder ${folder} holds files of an archive, and the database has no job and never had one: the two do not belong together.`,
  remedy: 'Name the right database, or another folder with --vault. Nothing was changed.',
});
