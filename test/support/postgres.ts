/**
 * A server of PostgreSQL for the tests, on a socket of its own in a temporary folder, and a database for whoever asks. One
 * server serves a whole process of tests and ends with it; `.ci/run` installs it from the system's packages.
 */
import { execFileSync, spawn } from 'node:child_process';
import { chownSync, existsSync, mkdtempSync, readdirSync } from 'node:fs';
import type { Socket } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import pg from 'pg';
import { describe } from 'vitest';

const VERSIONS = '/usr/lib/postgresql';
/** Debian keeps the server's own programs aside; elsewhere they are on the path. */
const binFolder = (): string | undefined =>
  [
    ...(existsSync(VERSIONS)
      ? readdirSync(VERSIONS)
          .toSorted((a, b) => Number(b) - Number(a))
          .map((version) => join(VERSIONS, version, 'bin'))
      : []),
    '/usr/bin',
    '/usr/local/bin',
  ].find((folder) => existsSync(join(folder, 'initdb')));

/** A `describe` that runs only where PostgreSQL is present; with CI=true it runs all the same, and fails. */
export function describeWithPostgres(name: string, body: () => void): void {
  const options = { tags: ['outside'] };
  if (binFolder() !== undefined || process.env.CI === 'true') describe(name, options, body);
  else describe.skip(`${name} [needs PostgreSQL]`, options, body);
}

export const postgresProgram = (name: string): string => join(binFolder() ?? '', name);

/** The user who runs the tests; the server refuses to run as root. */
const isRoot = process.getuid?.() === 0;
const asServer = (program: string, args: readonly string[]): [string, string[]] =>
  isRoot
    ? ['setpriv', ['--reuid=nobody', '--regid=nogroup', '--clear-groups', program, ...args]]
    : [program, [...args]];

/** Ends the server and removes its folder once the other end of its input is closed: a killed test leaves nothing. */
const UNTIL_ABANDONED = 'folder=$1; shift; "$@" & server=$!; cat; kill -QUIT $server; wait; rm -rf "$folder"';

const USER = 'panelwright';
let started: string | undefined;
let databases = 0;

/** The folder of the socket. */
export function postgresSocket(): string {
  if (started) return started;
  const folder = mkdtempSync(join(tmpdir(), 'panelwright-postgres-'));
  if (isRoot) chownSync(folder, NOBODY, NOGROUP);
  const data = join(folder, 'data');
  const init = [
    '-D',
    data,
    '-U',
    USER,
    '-A',
    'trust',
    '-E',
    'UTF8',
    '--locale=C',
    '--no-sync',
    '--no-instructions',
  ];
  execFileSync(...asServer(postgresProgram('initdb'), init), { stdio: 'pipe', cwd: folder });
  const settings = [
    'listen_addresses=',
    `unix_socket_directories=${folder}`,
    'fsync=off',
    'max_connections=60',
  ];
  const run = ['-D', data, ...settings.flatMap((setting) => ['-c', setting])];
  const watched = ['-c', UNTIL_ABANDONED, 'sh', folder, postgresProgram('postgres'), ...run];
  const server = spawn(...asServer('/bin/sh', watched), { stdio: ['pipe', 'ignore', 'ignore'], cwd: '/' });
  server.unref();
  (server.stdin as Socket).unref();
  const deadline = Date.now() + 60_000;
  while (!existsSync(join(folder, '.s.PGSQL.5432'))) {
    if (Date.now() > deadline) throw new Error('PostgreSQL did not start.');
    Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, 20);
  }
  started = folder;
  return folder;
}

const NOBODY = 65_534;
const NOGROUP = 65_534;

/** The address of a new, empty database, without a vault. */
export async function newDatabase(): Promise<string> {
  const name = `t${process.pid}_${++databases}`;
  await administered(`CREATE DATABASE ${name}`);
  return databaseAddress(name);
}

export const databaseAddress = (name: string): string =>
  `postgres:///${name}?host=${encodeURIComponent(postgresSocket())}&user=${USER}`;

/** Runs a statement in a database; that of the server itself where none is named. */
export async function administered(statement: string, database = 'postgres'): Promise<unknown[]> {
  const client = await connected({ host: postgresSocket(), user: USER, database });
  try {
    return (await client.query(statement)).rows;
  } finally {
    await client.end();
  }
}

/** Its socket is there a moment before the server serves. */
async function connected(config: pg.ClientConfig, tries = 100): Promise<pg.Client> {
  const client = new pg.Client(config);
  try {
    await client.connect();
    return client;
  } catch (error) {
    if (tries === 0) throw error;
    await new Promise((resolve) => setTimeout(resolve, 50));
    return await connected(config, tries - 1);
  }
}
