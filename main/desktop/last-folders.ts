/** The folder that each kind of dialog was left in. Without it, Electron opens every dialog in Downloads. */
import { existsSync, readFileSync } from 'node:fs';
import { z } from 'zod';
import { writeFileAtomically } from '../files/atomic-write.ts';

const Folders = z.record(z.string(), z.string());

export class LastFolders {
  readonly #path: string;
  readonly #folders: Map<string, string>;
  #written: Promise<void> = Promise.resolve();

  constructor(path: string) {
    this.#path = path;
    this.#folders = new Map(Object.entries(readFolders(path)));
  }

  /** Undefined where there was none yet, or it is gone. */
  folder(purpose: string): string | undefined {
    const folder = this.#folders.get(purpose);
    return folder !== undefined && existsSync(folder) ? folder : undefined;
  }

  keep(purpose: string, folder: string): void {
    this.#folders.set(purpose, folder);
    const text = `${JSON.stringify(Object.fromEntries(this.#folders))}\n`;
    // A dialog that opens elsewhere the next time is no reason to trouble anyone.
    this.#written = this.#written.then(() => writeFileAtomically(this.#path, text)).catch(() => undefined);
  }
}

function readFolders(path: string): z.infer<typeof Folders> {
  try {
    return Folders.parse(JSON.parse(readFileSync(path, 'utf8')));
  } catch {
    return {};
  }
}
