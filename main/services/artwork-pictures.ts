/** Pictures of archived artwork and outputs for the screens: drawn on threads, kept small, answered as PNG. */
import { rm, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { Picture as PngPicture } from '../../core/contract.ts';
import type { ArtworkReference, Job, StoredRect } from '../../core/job/schema.ts';
import { rectFromStored } from '../../core/job/stored-rect.ts';
import { type Problem, type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import type { Vault } from '../archive/vault.ts';
import { cancelledProblem } from '../files/file-problem.ts';
import { scratchFolder } from '../files/scratch-folder.ts';
import type { PageWindow } from '../render/pdfium.ts';
import { type PictureFailure, PictureMaker } from '../render/picture-maker.ts';
import { pngFromPicture } from '../render/png.ts';
import type { WorkThread } from '../work/work-thread.ts';
import { pageWindow } from './page-window.ts';

const THUMBNAIL_PX = 320;
const THUMBNAIL_TIME_MS = 8000;
const FILE_PICTURE_TIME_MS = 15_000;
/** Each maker holds its file in memory. */
const MAX_MAKERS = 3;

export class ArtworkPictures {
  readonly #vault: Vault;
  readonly #work: WorkThread;
  readonly #makers = new Map<string, PictureMaker>();
  readonly #passwords = new Map<string, string>();

  constructor(vault: Vault, work: WorkThread) {
    this.#vault = vault;
    this.#work = work;
  }

  /** Passwords stay in memory: they are never written down. */
  rememberPassword(sha256: string, password: string): void {
    this.#passwords.set(sha256, password);
  }

  password(sha256: string): string | undefined {
    return this.#passwords.get(sha256);
  }

  /** A window of a page, in drawn mm. */
  async window(
    reference: ArtworkReference,
    page: number,
    window: StoredRect,
    widthPx: number,
    signal: AbortSignal,
  ): Promise<Result<PngPicture>> {
    const onPage = await this.#pageWindow(reference, page, window, signal);
    if (!onPage.ok) return onPage;
    const maker = this.#maker(this.#vault.path(reference.sha256), this.password(reference.sha256));
    const outcome = await maker.picture(page, onPage.value, widthPx);
    if (signal.aborted) return resultProblem(cancelledProblem);
    if (!outcome.ok) return resultProblem(pictureProblem(outcome.failure, reference.fileName));
    const { width, height } = outcome.picture;
    return resultOk({ png: pngFromPicture(outcome.picture), widthPx: width, heightPx: height });
  }

  /** The first side of a job; null where there is nothing to show, or it takes too long. */
  async thumbnail(job: Job): Promise<PngPicture | null> {
    const side = job.sides[0];
    if (!job.artwork || !side || !(await this.#vault.has(job.artwork.sha256))) return null;
    const limit = AbortSignal.timeout(THUMBNAIL_TIME_MS);
    const picture = await this.window(job.artwork, side.page, side.artworkRect, THUMBNAIL_PX, limit);
    return picture.ok ? picture.value : null;
  }

  /** A page of a written file. */
  async filePage(
    path: string,
    page: number,
    widthPx: number,
    signal: AbortSignal,
  ): Promise<PngPicture | null> {
    const maker = new PictureMaker(path);
    try {
      const outcome = await maker.wholePage(page, widthPx, FILE_PICTURE_TIME_MS);
      if (!outcome.ok || signal.aborted) return null;
      const { width, height } = outcome.picture;
      return { png: pngFromPicture(outcome.picture), widthPx: width, heightPx: height };
    } finally {
      await maker.close();
    }
  }

  /** A page of a PDF that is not on disk. */
  async pdfPage(
    bytes: Uint8Array,
    page: number,
    widthPx: number,
    signal: AbortSignal,
  ): Promise<PngPicture | null> {
    const folder = scratchFolder('picture');
    try {
      const path = join(folder, 'page.pdf');
      await writeFile(path, bytes);
      return await this.filePage(path, page, widthPx, signal);
    } finally {
      await rm(folder, { recursive: true, force: true });
    }
  }

  async close(): Promise<void> {
    await Promise.all([...this.#makers.values()].map((maker) => maker.close()));
    this.#makers.clear();
  }

  async #pageWindow(
    reference: ArtworkReference,
    pageNumber: number,
    window: StoredRect,
    signal: AbortSignal,
  ): Promise<Result<PageWindow>> {
    const facts = await this.#work.run(
      'artworkFacts',
      {
        path: this.#vault.path(reference.sha256),
        fileName: reference.fileName,
        box: reference.box,
        isBrief: true,
        ...(this.password(reference.sha256) !== undefined && { password: this.password(reference.sha256)! }),
      },
      { signal, report: () => undefined },
    );
    if (!facts.ok) return facts;
    const page = facts.value.pages.find(({ number }) => number === pageNumber);
    if (!page) return resultProblem(pictureProblem('not-drawable', reference.fileName));
    return resultOk(pageWindow(rectFromStored(window), rectFromStored(page.boxes.crop), page.userUnit));
  }

  #maker(path: string, password: string | undefined): PictureMaker {
    const existing = this.#makers.get(path);
    if (existing) {
      // Moved to the end: the map's order is the order of last use.
      this.#makers.delete(path);
      this.#makers.set(path, existing);
      return existing;
    }
    const maker = new PictureMaker(path, password);
    this.#makers.set(path, maker);
    if (this.#makers.size > MAX_MAKERS) {
      const [oldest, idle] = this.#makers.entries().next().value!;
      this.#makers.delete(oldest);
      void idle.close();
    }
    return maker;
  }
}

function pictureProblem(failure: PictureFailure, fileName: string): Problem {
  const why = {
    'too-slow': 'takes too long to draw for the preview',
    'too-large': 'is too large for the preview’s memory',
    'not-drawable': 'cannot be drawn by the preview',
  }[failure];
  return {
    code: `picture-${failure}`,
    message: `${fileName} ${why}.`,
    remedy: 'The panels are not affected: they are cut from the file itself. Judge the artwork in a viewer.',
  };
}
