/**
 * Caches facts about the pages of artworks and a coarse picture of each page, so that a job opens at once the next
 * time. All of it can be made again from the vault, so missing or damaged files do no harm, and backups leave it out.
 */
import { createHash } from 'node:crypto';
import { chmod, readdir, readFile, rename, rm, stat, writeFile } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import type { Picture } from '../../core/contract/parts.ts';
import { ArtworkFacts } from '../../core/contract/verbs-artwork.ts';
import type { ArtworkReference, StoredRect } from '../../core/job/schema.ts';
import { makeVaultFolder, vaultModes } from '../archive/vault.ts';
import { partialPath, sweepPartials } from '../files/atomic-write.ts';
import { pngSize } from './png.ts';

/** Each artwork takes about half a megabyte. */
const MAX_ARTWORKS = 500;
const FACTS = 'pages.json';
/** Increase this when pages or pictures come out differently; older entries are then swept. */
const EDITION = 'v2';

export interface PictureOfPage {
  readonly page: number;
  /** In drawn mm. */
  readonly window: StoredRect;
  readonly widthPx: number;
}

export class PreviewCache {
  readonly #folder: string;

  constructor(archiveFolder: string) {
    this.#folder = join(archiveFolder, 'previews');
  }

  async facts(reference: ArtworkReference): Promise<ArtworkFacts | undefined> {
    try {
      const text = await readFile(join(this.#place(reference), FACTS), 'utf8');
      const facts = ArtworkFacts.safeParse(JSON.parse(text));
      return facts.success ? { ...facts.data, reference } : undefined;
    } catch {
      return undefined;
    }
  }

  async keepFacts({ scan: _, ...facts }: ArtworkFacts): Promise<void> {
    await this.keep(facts.reference, FACTS, JSON.stringify(facts));
  }

  async picture(reference: ArtworkReference, picture: PictureOfPage): Promise<Picture | undefined> {
    try {
      const png = await readFile(join(this.#place(reference), pictureName(picture)));
      const { width, height } = pngSize(png);
      return { png: new Uint8Array(png), widthPx: width, heightPx: height };
    } catch {
      return undefined;
    }
  }

  async keepPicture(reference: ArtworkReference, picture: PictureOfPage, png: Uint8Array): Promise<void> {
    await this.keep(reference, pictureName(picture), png);
  }

  /** A cached value for an artwork, by its name; undefined where there is none. */
  async value(reference: ArtworkReference, name: string): Promise<unknown> {
    try {
      return JSON.parse(await readFile(join(this.#place(reference), name), 'utf8'));
    } catch {
      return undefined;
    }
  }

  async keepValue(reference: ArtworkReference, name: string, value: unknown): Promise<void> {
    await this.keep(reference, name, JSON.stringify(value));
  }

  /**
   * Removes the artworks that were cached longest ago, everything of older editions, and the unfinished files of killed
   * processes.
   */
  async sweep(): Promise<void> {
    for (const edition of await namesIn(this.#folder)) {
      if (edition !== EDITION) await rm(join(this.#folder, edition), { recursive: true, force: true });
    }
    const folder = join(this.#folder, EDITION);
    const aged = await Promise.all(
      (await namesIn(folder)).map(async (name) => {
        const found = await stat(join(folder, name)).catch(() => undefined);
        return { name, at: found?.mtimeMs ?? 0 };
      }),
    );
    const places = aged.toSorted((a, b) => b.at - a.at).map(({ name }) => join(folder, name));
    for (const place of places.slice(0, MAX_ARTWORKS)) sweepPartials(place);
    for (const place of places.slice(MAX_ARTWORKS)) await rm(place, { recursive: true, force: true });
  }

  /** Call this when the artwork was deleted. */
  async forget(sha256: string): Promise<void> {
    const folder = join(this.#folder, EDITION);
    for (const name of await namesIn(folder)) {
      if (name.startsWith(`${sha256}-`)) await rm(join(folder, name), { recursive: true, force: true });
    }
  }

  #place({ sha256, box }: ArtworkReference): string {
    return join(this.#folder, EDITION, `${sha256}-${box}`);
  }

  /** A full disk or a read-only folder only costs time: the picture is made again. */
  async keep(reference: ArtworkReference, name: string, content: string | Uint8Array): Promise<void> {
    const place = this.#place(reference);
    const partial = partialPath(join(place, name));
    try {
      const modes = await vaultModes(dirname(this.#folder));
      for (const each of [this.#folder, dirname(place), place]) await makeVaultFolder(each, modes);
      await writeFile(partial, content, { mode: modes.file });
      // The user's umask would remove the group's permission.
      await chmod(partial, modes.file);
      await rename(partial, join(place, name));
    } catch {
      await rm(partial, { force: true }).catch(() => undefined);
    }
  }
}

function pictureName({ page, window, widthPx }: PictureOfPage): string {
  const { xMm, yMm, widthMm, heightMm } = window;
  const where = createHash('sha256')
    .update(JSON.stringify([xMm, yMm, widthMm, heightMm]))
    .digest('hex');
  return `${page}-${widthPx}-${where.slice(0, 16)}.png`;
}

const namesIn = async (folder: string): Promise<string[]> => await readdir(folder).catch(() => []);
