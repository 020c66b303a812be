/**
 * Sentences that say why a shared archive cannot be used. Codes are those of
 * postgresql.org/docs/15/errcodes-appendix.html.
 */
import type { ArchiveProblem } from './port.ts';

/** Turns expected failures of the server and the connection into sentences; undefined for anything that is a bug. */
export function postgresProblem(error: unknown, address: string): ArchiveProblem | undefined {
  const { code = '', message = '' } = (error ?? {}) as { code?: string; message?: string };
  if (/^(28|3D000)/.test(code)) {
    return {
      code: 'archive-refused',
      message: `The server refuses to open the shared archive ${address} (${message}).`,
      remedy:
        'Check user, database and password: the address, PGUSER, PGPASSWORD and the password file (~/.pgpass).',
    };
  }
  if (/^42501/.test(code)) {
    return {
      code: 'archive-refused',
      message: `The user may not work in the shared archive ${address} (${message}).`,
      remedy: 'Make this user the owner of the database.',
    };
  }
  if (/^(55P03|40P01|57014)/.test(code)) {
    return {
      code: 'archive-locked',
      message: `The shared archive ${address} is in use by another program that is writing to it.`,
      remedy: 'Wait until it has finished, then try again.',
    };
  }
  if (/^53100/.test(code)) {
    return {
      code: 'archive-disk-full',
      message: `The disk of the server that holds the shared archive ${address} is full.`,
      remedy: 'Free some space there, then try again.',
    };
  }
  if (/^25006/.test(code)) return postgresReadOnly(address);
  if (/^XX00[12]/.test(code)) {
    return {
      code: 'archive-damaged',
      message: `The database of the shared archive ${address} is damaged (${message}).`,
      remedy: 'Restore a backup into a new database. Nothing has been changed.',
    };
  }
  if (/^(08|57P0|53300|E[A-Z]+$|ENOENT)/.test(code) || /terminated|timeout|ended/i.test(message)) {
    return {
      code: 'archive-unreachable',
      message: `The server of the shared archive ${address} cannot be reached (${message || code}).`,
      remedy: 'Check the network and that the server runs, then try again. Nothing that was saved is lost.',
    };
  }
  return undefined;
}

/**
 * The problem for an operation on an archive's files, which a seat cannot do to a shared archive while others use it.
 */
export const postgresShared = (address: string): ArchiveProblem => ({
  code: 'archive-shared',
  message: `The archive ${address} is shared by several seats, so it is not exchanged from one of them.`,
  remedy:
    'Restore its database with pg_restore and its vault beside it, or move a backup into an empty database with: panelwright archive-move.',
});

export const postgresReadOnly = (address: string): ArchiveProblem => ({
  code: 'archive-read-only',
  message: `The shared archive ${address} can only be read: its server takes no changes.`,
  remedy: 'Ask the administrator of the server, or open the archive on its main server.',
});
