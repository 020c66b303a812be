/**
 * The vault keeps artwork and outputs byte for byte, each under its SHA-256, so that equal files are kept
 * once and a damaged one is noticed. Layout: `vault/ab/abcdef….` with the first two digits as folder.
 *
 * ```ts
 * import { writeFileAtomically } from '../files/atomic-write.ts';
 * const path = `${folder}/proof.txt`;
 * await writeFileAtomically(path, 'approved');
 * const vault = new FileVault(`${folder}/vault`);
 * const first = await vault.add(path);
 * first.sizeBytes; // → 8
 * (await vault.add(path)).sha256 === first.sha256; // → true
 * await vault.has(first.sha256); // → true
 * ```
 */
import { chmod, open, rename, rm, stat, utimes } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { namesIn, partialPath, sweepPartials, syncFolder } from '../files/atomic-write.ts';
import { errorPlaced } from '../files/file-problem.ts';
import { copyHashed } from '../files/hashed-copy.ts';
import { makeFolder, PRIVATE_FILE, PRIVATE_FOLDER } from '../files/make-folder.ts';
import { type HashedSize, type HashingTools, hashFile } from '../files/sha256.ts';
import type { Vault } from './port.ts';

export interface VaultFile {
  readonly sha256: string;
  readonly sizeBytes: number;
  /** When it was last added or requested. */
  readonly heldMs: number;
}

interface VaultModes {
  readonly folder: number;
  readonly file: number;
}

const PRIVATE: VaultModes = { folder: PRIVATE_FOLDER, file: PRIVATE_FILE };
/** For seats of one group, with several accounts. */
export const SHARED: VaultModes = { folder: 0o770, file: 0o660 };

interface VaultOptions {
  /** Records in the database that the vault has files, before the first one is added. */
  readonly noteFiles?: () => Promise<void>;
  /** Absent: only its user has access. */
  readonly modes?: VaultModes;
}

/** The name of a file while its hash is still unknown. */
const INCOMING = 'incoming';
const DIGITS = /^[0-9a-f]{2}$/;
const SHA256 = /^[0-9a-f]{64}$/;

export const vaultFolder = (archiveFolder: string): string => join(archiveFolder, 'vault');

export class FileVault implements Vault {
  readonly folder: string;
  readonly #noteFiles: () => Promise<void>;
  readonly #modes: VaultModes;

  constructor(folder: string, { noteFiles = async () => undefined, modes = PRIVATE }: VaultOptions = {}) {
    this.folder = folder;
    this.#noteFiles = noteFiles;
    this.#modes = modes;
  }

  async path(sha256: string): Promise<string> {
    return this.#path(sha256);
  }

  #path(sha256: string): string {
    if (!SHA256.test(sha256)) throw new Error(`not a SHA-256: ${sha256}`);
    return join(this.folder, sha256.slice(0, 2), sha256);
  }

  async has(sha256: string): Promise<boolean> {
    return await stat(this.#path(sha256)).then(
      () => true,
      () => false,
    );
  }

  async state(sha256: string, tools?: HashingTools): Promise<'sound' | 'damaged' | 'absent'> {
    if (!(await this.has(sha256))) return 'absent';
    const found = await hashFile(this.#path(sha256), tools);
    return found.sha256 === sha256 ? 'sound' : 'damaged';
  }

  async hold(sha256: string): Promise<boolean> {
    return (await this.state(sha256)) === 'sound' && (await isTouched(this.#path(sha256)));
  }

  /** Whether the vault has no files yet. */
  isEmpty(): boolean {
    return !namesIn(this.folder).some(
      (name) => DIGITS.test(name) && namesIn(join(this.folder, name)).some((each) => SHA256.test(each)),
    );
  }

  /** Every file in the vault. */
  async list(): Promise<VaultFile[]> {
    const files: VaultFile[] = [];
    for (const folder of namesIn(this.folder).filter((name) => DIGITS.test(name))) {
      for (const sha256 of namesIn(join(this.folder, folder)).filter((name) => SHA256.test(name))) {
        const found = await stat(this.#path(sha256)).catch(() => undefined);
        if (found) files.push({ sha256, sizeBytes: found.size, heldMs: found.mtimeMs });
      }
    }
    return files;
  }

  /**
   * Removes a file, unless it was held at `sinceMs` or later, because another program may be about to refer to it.
   * Returns false if the file stays. It is renamed first, so a program that holds it meanwhile either keeps it or sees
   * that it is gone.
   */
  async remove(sha256: string, sinceMs: number): Promise<boolean> {
    const path = this.#path(sha256);
    const aside = partialPath(join(this.folder, INCOMING));
    const isThere = await rename(path, aside).then(
      () => true,
      () => false,
    );
    if (!isThere) return false;
    const isHeld = (await stat(aside)).mtimeMs >= sinceMs;
    if (isHeld) await rename(aside, path);
    else await rm(aside, { force: true });
    return !isHeld;
  }

  /**
   * Copies a file into the vault. The hash is that of the copy, not of the source, which could change while it is read.
   * A damaged file with the same hash is replaced. Errors name the vault, or the source where that is missing.
   */
  async add(source: string, tools?: HashingTools): Promise<HashedSize> {
    await this.#noteFiles();
    const partial = partialPath(join(this.folder, INCOMING));
    try {
      await makeVaultFolder(this.folder, this.#modes);
      const hashed = await copyHashed(source, partial, tools);
      await this.#adopt(partial, hashed.sha256);
      return hashed;
    } catch (error) {
      await rm(partial, { force: true }).catch(() => undefined);
      const { code, path } = error as NodeJS.ErrnoException;
      throw errorPlaced(error, code === 'ENOENT' && path === source ? source : this.folder);
    }
  }

  /** Removes unfinished copies of killed processes. */
  sweep(): void {
    sweepPartials(this.folder, INCOMING);
  }

  async #adopt(partial: string, sha256: string): Promise<void> {
    if (await this.hold(sha256)) {
      await rm(partial, { force: true });
      return;
    }
    const path = this.#path(sha256);
    await makeVaultFolder(dirname(path), this.#modes);
    if (this.#modes.file !== PRIVATE_FILE) await chmod(partial, this.#modes.file);
    await rename(partial, path);
    await syncFolder(dirname(path));
    await syncFolder(this.folder);
  }
}

/** The file modes of an archive in a folder; files beside its vault have the same modes. */
export async function vaultModes(archiveFolder: string): Promise<VaultModes> {
  const { mode } = await stat(vaultFolder(archiveFolder)).catch(() => ({ mode: 0 }));
  return (mode & GROUP_WRITES) === 0 ? PRIVATE : SHARED;
}

const GROUP_WRITES = 0o020;

/** Sets the group permissions that the user's umask removed; new files still get the group of the folder. */
export async function makeVaultFolder(path: string, modes: VaultModes = SHARED): Promise<void> {
  const made = await makeFolder(path, modes.folder);
  if (made === undefined || modes.folder === PRIVATE_FOLDER) return;
  const { mode } = await stat(path);
  await chmod(path, modes.folder | (mode & SET_GROUP));
}

const SET_GROUP = 0o2000;

/** Updates the file's time, which says when it was last requested; false if the file is gone. */
async function isTouched(path: string): Promise<boolean> {
  const now = new Date();
  return await utimes(path, now, now).then(
    () => true,
    async (error: NodeJS.ErrnoException) => {
      // Only its owner may set the time of a file; another user with write permission sets it by writing.
      if (error.code === 'EPERM') await touchByWriting(path).catch(() => undefined);
      // A read-only vault is never cleaned.
      return error.code !== 'ENOENT';
    },
  );
}

async function touchByWriting(path: string): Promise<void> {
  const file = await open(path, 'r+');
  try {
    await file.truncate((await file.stat()).size);
  } finally {
    await file.close();
  }
}
