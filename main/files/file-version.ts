/** Whether a file is still the one that was opened before. */
import type { Stats } from 'node:fs';

/** A file of the vault is never rewritten: its name is its hash, and its time tells when a seat last asked for it. */
const VAULT_FILE = /[\\/]vault[\\/][0-9a-f]{2}[\\/][0-9a-f]{64}$/;

/** Equal for two looks at a file that has not changed between them. */
export const fileVersion = (path: string, { dev, ino, size, mtimeMs }: Stats): string =>
  [dev, ino, size, VAULT_FILE.test(path) ? '' : mtimeMs].join(' ');
