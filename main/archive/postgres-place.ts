/**
 * Where a shared archive is: `postgres://server/database?vault=FOLDER`. What the address omits comes from the usual
 * places of PostgreSQL programs: the environment (PGHOST, PGUSER, PGPASSWORD, PGSSLMODE…), a service file and a
 * password file (postgresql.org/docs/15/libpq-envars.html, libpq-pgservice.html, libpq-pgpass.html).
 */
import { readFileSync } from 'node:fs';
import { isAbsolute } from 'node:path';
import type { PoolConfig } from 'pg';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { isPostgresPlace } from './archive-folder.ts';
import type { ArchiveProblem } from './port.ts';
import { serviceSettings } from './postgres-service.ts';

export interface PostgresPlace {
  /** The address for people: without the vault, and never with a password. */
  readonly address: string;
  /** The folder of the vault, which all seats can reach. */
  readonly folder: string;
  readonly connection: PoolConfig;
}

/** The place as shown to people. */
export const shownPlace = (place: string): string =>
  isPostgresPlace(place) && URL.canParse(place) ? addressOf(new URL(place)) : place;

/** Parameters of an address that this program passes on; other libpq settings belong in the environment. */
const KNOWN = ['vault', 'host', 'port', 'user', 'service', 'sslmode', 'sslrootcert', 'options'];

export function postgresPlace(
  place: string,
  env: NodeJS.ProcessEnv = process.env,
): Result<PostgresPlace, ArchiveProblem> {
  const url = urlOf(place);
  if (!url) return resultProblem(unreadable('it is no address'));
  if (url.password !== '' || url.searchParams.has('password')) return resultProblem(passwordShown);
  const unknown = [...url.searchParams.keys()].find((key) => !KNOWN.includes(key));
  if (unknown !== undefined) return resultProblem(unreadable(`it does not know “${unknown}”`));
  const vault = url.searchParams.get('vault');
  if (!vault || !isAbsolute(vault)) return resultProblem(vaultUnnamed);
  const service = serviceSettings(url.searchParams.get('service') ?? env.PGSERVICE, env);
  if (!service.ok) return service;
  const asked = (key: string): string | undefined =>
    url.searchParams.get(key) ?? service.value.get(key) ?? undefined;
  const host = decodeURIComponent(url.hostname) || asked('host');
  const port = url.port || asked('port');
  const database = decodeURIComponent(url.pathname.slice(1)) || service.value.get('dbname');
  const user = decodeURIComponent(url.username) || asked('user');
  const password = service.value.get('password');
  const options = asked('options');
  const mode = asked('sslmode') ?? env.PGSSLMODE;
  const authority = asked('sslrootcert') ?? env.PGSSLROOTCERT;
  return resultOk({
    address: addressOf(url),
    folder: vault,
    connection: {
      ...(host !== undefined && { host }),
      ...(port !== undefined && { port: Number(port) }),
      ...(database !== undefined && { database }),
      ...(user !== undefined && { user }),
      ...(password !== undefined && { password }),
      ...(options !== undefined && { options }),
      ...(mode !== undefined && { ssl: sslOf(mode, authority) }),
      application_name: 'panelwright',
    },
  });
}

/** An address for a socket has no server: `postgres:///database?host=/var/run/postgresql`. */
function urlOf(place: string): URL | undefined {
  return URL.canParse(place) ? new URL(place) : undefined;
}

function addressOf(url: URL): string {
  const shown = new URL(url.href);
  shown.searchParams.delete('vault');
  return shown.href;
}

/** The modes of libpq, except `prefer`, which would silently use no encryption. */
function sslOf(mode: string, authority: string | undefined): PoolConfig['ssl'] {
  if (mode === 'disable' || mode === 'allow' || mode === 'prefer') return false;
  const ca = authority === undefined ? undefined : readFileSync(authority, 'utf8');
  if (mode === 'require' && ca === undefined) return { rejectUnauthorized: false };
  return {
    ...(ca !== undefined && { ca }),
    ...(mode !== 'verify-full' && { checkServerIdentity: () => undefined }),
  };
}

const unreadable = (why: string): ArchiveProblem => ({
  code: 'archive-place-unreadable',
  message: `The address of the shared archive cannot be used: ${why}.`,
  remedy: 'Write it as postgres://server/database, and name the folder of its vault with --vault.',
});

const passwordShown: ArchiveProblem = {
  code: 'archive-place-unreadable',
  message: 'The address of the shared archive has a password in it, which others could read there.',
  remedy:
    'Keep the password in a password file of PostgreSQL (~/.pgpass) or in PGPASSWORD, and leave it out here.',
};

const vaultUnnamed: ArchiveProblem = {
  code: 'archive-place-unreadable',
  message: 'A shared archive needs a folder for its files that all seats reach, and none is named.',
  remedy: 'Name it with --vault, or in PANELWRIGHT_VAULT.',
};
