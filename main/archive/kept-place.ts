/** The archive that was selected on screen, for the next start of this user's programs; never with a password. */
import { readFileSync } from 'node:fs';
import { rm } from 'node:fs/promises';
import { homedir } from 'node:os';
import { join } from 'node:path';
import { writeFileAtomically } from '../files/atomic-write.ts';

export function keptPlaceFile(
  platform: NodeJS.Platform = process.platform,
  env: NodeJS.ProcessEnv = process.env,
  home: string = homedir(),
): string {
  if (platform === 'win32')
    return join(env.APPDATA ?? join(home, 'AppData', 'Roaming'), 'Panelwright', 'archive.json');
  if (platform === 'darwin')
    return join(home, 'Library', 'Application Support', 'Panelwright', 'archive.json');
  return join(env.XDG_CONFIG_HOME ?? join(home, '.config'), 'panelwright', 'archive.json');
}

/** A folder, or the address of a shared archive with its vault; undefined where none was selected. */
export function keptPlace(file: string): string | undefined {
  try {
    const { archive } = JSON.parse(readFileSync(file, 'utf8')) as { archive?: unknown };
    return typeof archive === 'string' && archive !== '' ? archive : undefined;
  } catch {
    return undefined;
  }
}

/** Without a place, the default is used again. */
export async function keepPlace(file: string, place: string | undefined): Promise<void> {
  if (place === undefined) await rm(file, { force: true });
  else await writeFileAtomically(file, `${JSON.stringify({ archive: place })}\n`);
}
