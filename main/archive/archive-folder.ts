import { homedir } from 'node:os';
import { join, resolve } from 'node:path';
import { keptPlace, keptPlaceFile } from './kept-place.ts';

/**
 * Where the desktop program, the command line and the host keep the archive: in PANELWRIGHT_ARCHIVE, in the place
 * selected on screen, or in the system's folder for a program's data.
 */
export function defaultArchiveFolder(
  platform: NodeJS.Platform = process.platform,
  env: NodeJS.ProcessEnv = process.env,
  home: string = homedir(),
): string {
  const { PANELWRIGHT_ARCHIVE: named } = env;
  if (named) return isPostgresPlace(named) ? named : resolve(named);
  const kept = keptPlace(keptPlaceFile(platform, env, home));
  if (kept !== undefined) return kept;
  if (platform === 'win32')
    return join(env.APPDATA ?? join(home, 'AppData', 'Roaming'), 'Panelwright', 'archive');
  if (platform === 'darwin') return join(home, 'Library', 'Application Support', 'Panelwright', 'archive');
  return join(env.XDG_DATA_HOME ?? join(home, '.local', 'share'), 'panelwright', 'archive');
}

export const isPostgresPlace = (place: string): boolean => /^postgres(ql)?:\/\//.test(place);

/** The place of an archive from its options: an address may leave its vault's folder to a separate option. */
export function archivePlace(place: string, vault: string | undefined): string {
  if (!isPostgresPlace(place) || vault === undefined || !URL.canParse(place)) return place;
  const url = new URL(place);
  url.searchParams.set('vault', resolve(vault));
  return url.href;
}
