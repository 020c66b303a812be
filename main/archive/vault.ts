/**
 * The vault keeps artwork and outputs byte for byte, each under its SHA-256, so that equal files are kept
 * once and a damaged one is noticed. Layout: `vault/ab/abcdef….` with the first two digits as folder.
 */
import { constants } from 'node:fs';
import { copyFile, mkdir, open, rename, rm, stat } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { partialPath, sweepPartials, syncFolder } from '../files/atomic-write.ts';
import { errorPlaced } from '../files/file-problem.ts';
import { makeFolder } from '../files/make-folder.ts';
import { type HashedSize, hashFile } from '../files/sha256.ts';
import type { Vault } from './port.ts';

/** A file on its way in, whose hash is not known yet. */
const INCOMING = 'incoming';
const SHA256 = /^[0-9a-f]{64}$/;

export const vaultFolder = (archiveFolder: string): string => join(archiveFolder, 'vault');

export class FileVault implements Vault {
  readonly folder: string;

  constructor(folder: string) {
    this.folder = folder;
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

  async state(sha256: string): Promise<'sound' | 'damaged' | 'absent'> {
    if (!(await this.has(sha256))) return 'absent';
    const found = await hashFile(this.#path(sha256));
    return found.sha256 === sha256 ? 'sound' : 'damaged';
  }

  /**
   * Copies a file in. The hash is taken of the copy, not of the source, which could change while it is read;
   * a damaged blob of the same hash is replaced. What is thrown names the vault, or the source where that is not there.
   */
  async add(source: string): Promise<HashedSize> {
    const partial = partialPath(join(this.folder, INCOMING));
    try {
      await makeFolder(this.folder);
      await copyFile(source, partial, constants.COPYFILE_FICLONE);
      const handle = await open(partial, 'r+');
      try {
        await handle.sync();
      } finally {
        await handle.close();
      }
      const hashed = await hashFile(partial);
      await this.#adopt(partial, hashed.sha256);
      return hashed;
    } catch (error) {
      await rm(partial, { force: true }).catch(() => undefined);
      const { code, path } = error as NodeJS.ErrnoException;
      throw errorPlaced(error, code === 'ENOENT' && path === source ? source : this.folder);
    }
  }

  /** Removes copies that a killed process had not finished. */
  sweep(): void {
    sweepPartials(this.folder, INCOMING);
  }

  async #adopt(partial: string, sha256: string): Promise<void> {
    if ((await this.state(sha256)) === 'sound') {
      await rm(partial, { force: true });
      return;
    }
    const path = this.#path(sha256);
    await mkdir(dirname(path), { recursive: true });
    await rename(partial, path);
    await syncFolder(dirname(path));
    await syncFolder(this.folder);
  }
}
