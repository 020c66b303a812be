import { homedir } from 'node:os';
import { join } from 'node:path';

/** Where the archive is kept unless somebody says otherwise: the place each system has for a program's data. */
export function defaultArchiveFolder(
  platform: NodeJS.Platform = process.platform,
  env: NodeJS.ProcessEnv = process.env,
  home: string = homedir(),
): string {
  if (env.PANELWRIGHT_ARCHIVE) return env.PANELWRIGHT_ARCHIVE;
  if (platform === 'win32')
    return join(env.APPDATA ?? join(home, 'AppData', 'Roaming'), 'Panelwright', 'archive');
  if (platform === 'darwin') return join(home, 'Library', 'Application Support', 'Panelwright', 'archive');
  return join(env.XDG_DATA_HOME ?? join(home, '.local', 'share'), 'panelwright', 'archive');
}
