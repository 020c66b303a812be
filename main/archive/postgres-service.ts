/** Named connections in a PostgreSQL service file; see postgresql.org/docs/15/libpq-pgservice.html. */
import { readFileSync } from 'node:fs';
import { homedir } from 'node:os';
import { join } from 'node:path';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import type { ArchiveProblem } from './port.ts';

type Settings = ReadonlyMap<string, string>;

/** The files' settings for a service; empty if no service is named. The user's own file comes first. */
export function serviceSettings(
  name: string | undefined,
  env: NodeJS.ProcessEnv,
): Result<Settings, ArchiveProblem> {
  if (name === undefined || name === '') return resultOk(new Map());
  const files = [
    env.PGSERVICEFILE ?? join(env.HOME ?? homedir(), '.pg_service.conf'),
    ...(env.PGSYSCONFDIR ? [join(env.PGSYSCONFDIR, 'pg_service.conf')] : []),
  ];
  for (const file of files) {
    const found = sectionOf(textOf(file), name);
    if (found) return resultOk(found);
  }
  return resultProblem({
    code: 'archive-place-unreadable',
    message: `No service file of PostgreSQL has a service “${name}”.`,
    remedy: `Add it to ${files[0]}, or name the server in the address.`,
  });
}

function sectionOf(text: string, name: string): Settings | undefined {
  let settings: Map<string, string> | undefined;
  for (const line of text.split(/\r?\n/).map((each) => each.trim())) {
    if (line.startsWith('[')) {
      if (settings) break;
      if (line === `[${name}]`) settings = new Map();
    } else if (settings && line !== '' && !line.startsWith('#')) {
      const at = line.indexOf('=');
      if (at > 0) settings.set(line.slice(0, at).trim(), line.slice(at + 1).trim());
    }
  }
  return settings;
}

function textOf(file: string): string {
  try {
    return readFileSync(file, 'utf8');
  } catch {
    return '';
  }
}
