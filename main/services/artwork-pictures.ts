/** Pictures of archived artwork and outputs for the screens: drawn on threads, kept small, answered as PNG. */
import { rm, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { Worker } from 'node:worker_threads';
import type { Picture as PngPicture } from '../../core/contract/parts.ts';
import type { ArtworkFacts, ArtworkPageFacts } from '../../core/contract/verbs-artwork.ts';
import type { ArtworkReference, Job, StoredRect } from '../../core/job/schema.ts';
import { rectFromStored } from '../../core/job/stored-rect.ts';
import { present } from '../../core/measure/present.ts';
import { type Problem, type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { coarsePictureWidth } from '../../core/preview/coarse-picture.ts';
import type { Vault } from '../archive/port.ts';
import { pageArea } from '../artwork/page-area.ts';
import { cancelledProblem } from '../files/file-problem.ts';
import { makeScratchFolder } from '../files/scratch-folder.ts';
import { type PictureFailure, PictureMaker, type PictureMaking } from '../render/picture-maker.ts';
import { endPictureThread, startPictureThread } from '../render/picture-thread.ts';
import { pngFromPicture } from '../render/png.ts';
import type { PictureOfPage, PreviewCache } from '../render/preview-cache.ts';
import type { ArtworkAt } from '../tasks/kept-artwork.ts';
import type { TaskRunner } from '../tasks/task-runner.ts';

const THUMBNAIL_PX = 320;
const FILE_PICTURE_CPU_SECONDS = 15;
/** Each maker holds its file in memory. */
const MAX_MAKERS = 3;

/** Pages of the open artworks, by hash and box. */
const MAX_FACTS = 50;
/** Some 50 kB each. */
const MAX_PAGES = 300;

/** Until then the machine is left to the new artwork: a thread takes a second of CPU to start. */
const NEXT_THREAD_MS = 10_000;

type Drawn = Result<PngPicture>;

export class ArtworkPictures {
  readonly #vault: Vault;
  readonly #work: TaskRunner;
  readonly #cache: PreviewCache;
  readonly #makers = new Map<string, PictureMaker>();
  readonly #passwords = new Map<string, string>();
  readonly #facts = new Map<string, ArtworkFacts>();
  /** Coarse pictures that are being made before anybody has asked, by their artwork. */
  readonly #begun = new Map<string, { readonly picture: PictureOfPage; readonly drawn: Promise<Drawn> }>();
  /** All that have a thread, those that are leaving included. */
  readonly #open = new Set<PictureMaker>();
  /** Prepares for the next artwork, so that no screen waits for it. */
  #spare: Worker | undefined;
  #nextThread: NodeJS.Timeout | undefined;
  #isWarm = false;
  #isClosed = false;
  /** Pages of files in the vault, drawn before. */
  readonly #pages = new Map<string, PngPicture>();

  constructor(vault: Vault, work: TaskRunner, cache: PreviewCache) {
    this.#vault = vault;
    this.#work = work;
    this.#cache = cache;
  }

  /** Starts a thread for the next artwork that comes in, and from then on one some time after each. */
  warm(): void {
    this.#isWarm = true;
    this.#spare ??= startPictureThread({ isAhead: true });
  }

  #warmSoon(): void {
    clearTimeout(this.#nextThread);
    this.#nextThread = setTimeout(() => this.warm(), NEXT_THREAD_MS).unref();
  }

  /** Passwords stay in memory: they are never written down. */
  rememberPassword(sha256: string, password: string): void {
    this.#passwords.set(sha256, password);
  }

  password(sha256: string): string | undefined {
    return this.#passwords.get(sha256);
  }

  /** The pages of an artwork without what they hold: at once where it was seen before. */
  async pages(reference: ArtworkReference, signal: AbortSignal): Promise<Result<ArtworkFacts>> {
    const known = this.#facts.get(artworkName(reference)) ?? (await this.#cache.facts(reference));
    if (known) {
      this.#rememberFacts(known);
      return resultOk({ ...known, reference });
    }
    const facts = await this.#readPages(reference, this.password(reference.sha256), signal);
    if (facts.ok) await this.rememberPages(facts.value);
    return facts;
  }

  /** Tries a password, and remembers one that fits. */
  async unlock(
    reference: ArtworkReference,
    password: string,
    signal: AbortSignal,
  ): Promise<Result<ArtworkFacts>> {
    const facts = await this.#readPages(reference, password, signal);
    if (!facts.ok) return facts;
    this.rememberPassword(reference.sha256, password);
    await this.rememberPages(facts.value);
    return facts;
  }

  async #readPages(reference: ArtworkReference, password: string | undefined, signal: AbortSignal) {
    return await this.#work.run(
      'artworkFacts',
      {
        path: await this.#vault.path(reference.sha256),
        fileName: reference.fileName,
        box: reference.box,
        isBrief: true,
        ...(password !== undefined && { password }),
      },
      { signal, report: () => undefined },
    );
  }

  /** Takes note of the pages of an artwork. Nothing of one that has a password goes to disk. */
  async rememberPages(facts: ArtworkFacts): Promise<void> {
    this.#rememberFacts(facts);
    if (!this.#isSecret(facts.reference)) await this.#cache.keepFacts(facts);
  }

  /**
   * Draws the first page of a file coarsely while the file is still hashed and on its way into the vault. `reading`
   * comes to all its pages, or to a failure.
   */
  beginFirstPicture(
    { path, fileName, password }: ArtworkAt,
    firstPage: Promise<Result<ArtworkPageFacts | undefined>>,
    reading: Promise<Result<ArtworkFacts>>,
  ): void {
    const maker = this.#openMaker(path, { password, reduces: 'where-quicker', thread: this.#spare });
    this.#spare = undefined;
    const drawing = (async () => {
      maker.prepare();
      const page = await firstPage;
      if (!page.ok || !page.value) return undefined;
      const picture = coarsePicture(page.value);
      return { picture, drawn: this.drawWith(maker, fileName, page.value, picture) };
    })();
    void (async () => {
      let isUsedOn = false;
      try {
        const [begun, facts] = await Promise.all([drawing, reading]);
        if (!begun || !facts.ok) return;
        const { reference } = facts.value;
        const name = artworkName(reference);
        const path = await this.#vault.path(reference.sha256);
        // A caller that waits for it then finds the maker in its new place.
        const drawn = begun.drawn.then((picture) => {
          this.#begun.delete(name);
          isUsedOn = picture.ok && !this.#isClosed && !this.#makers.has(path);
          if (isUsedOn) this.#useMakerOn(maker, path);
          return picture;
        });
        this.#begun.set(name, { ...begun, drawn });
        await drawn;
      } catch {
        // A failure here happens again, and is reported, when the picture is requested.
      } finally {
        if (!isUsedOn) await this.#closeMaker(maker);
        if (this.#isWarm) this.#warmSoon();
      }
    })();
  }

  /** A window of a page, in drawn mm. */
  async areaPicture(
    reference: ArtworkReference,
    picture: PictureOfPage,
    signal: AbortSignal,
  ): Promise<Drawn> {
    const facts = await this.pages(reference, signal);
    if (!facts.ok) return facts;
    const page = facts.value.pages.find(({ number }) => number === picture.page);
    if (!page) return resultProblem(pictureProblem('not-drawable', reference.fileName));
    return await (isSameRect(picture.window, page.extent)
      ? this.#keptPicture(reference, page, picture, signal)
      : this.#makePicture(reference, page, picture, signal));
  }

  /** The first side of a job, or its first page; null where there is nothing to show, or it takes too much work. */
  async thumbnail(job: Job, signal: AbortSignal): Promise<PngPicture | null> {
    const side = job.sides[0];
    if (!job.artwork || !(await this.#vault.has(job.artwork.sha256))) return null;
    const facts = await this.pages(job.artwork, signal);
    // Before it has a side: the first page as it came.
    const page = facts.ok && facts.value.pages.find(({ number }) => !side || number === side.page);
    if (!page) return null;
    const wanted = { page: page.number, window: side?.artworkRect ?? page.extent, widthPx: THUMBNAIL_PX };
    const picture = await this.#keptPicture(job.artwork, page, wanted, signal);
    return picture.ok ? picture.value : null;
  }

  /** A page of a file in the vault. What was drawn once is kept in memory: the history is looked through again and again. */
  async vaultPage(
    sha256: string,
    page: number,
    widthPx: number,
    signal: AbortSignal,
  ): Promise<PngPicture | null> {
    const name = `${sha256} ${page} ${widthPx}`;
    const known = this.#pages.get(name);
    if (known) return known;
    const drawn = await this.filePage(await this.#vault.path(sha256), page, widthPx, signal);
    if (drawn) this.#pages.set(name, drawn);
    const [oldest] = this.#pages.keys();
    if (this.#pages.size > MAX_PAGES && oldest !== undefined) this.#pages.delete(oldest);
    return drawn;
  }

  /** A page of a written file. */
  async filePage(
    path: string,
    page: number,
    widthPx: number,
    signal: AbortSignal,
  ): Promise<PngPicture | null> {
    const maker = this.#openMaker(path);
    try {
      const outcome = await maker.wholePage(page, widthPx, { cpuSeconds: FILE_PICTURE_CPU_SECONDS });
      if (!outcome.ok || signal.aborted) return null;
      const { width, height } = outcome.picture;
      return { png: pngFromPicture(outcome.picture), widthPx: width, heightPx: height };
    } finally {
      await this.#closeMaker(maker);
    }
  }

  /** A page of a PDF that is not on disk. */
  async pdfPage(
    bytes: Uint8Array,
    page: number,
    widthPx: number,
    signal: AbortSignal,
  ): Promise<PngPicture | null> {
    const folder = makeScratchFolder('picture');
    try {
      const path = join(folder, 'page.pdf');
      await writeFile(path, bytes);
      return await this.filePage(path, page, widthPx, signal);
    } finally {
      await rm(folder, { recursive: true, force: true });
    }
  }

  async close(): Promise<void> {
    this.#isWarm = false;
    clearTimeout(this.#nextThread);
    this.#isClosed = true;
    const spare = this.#spare && endPictureThread(this.#spare);
    this.#spare = undefined;
    await Promise.all([...this.#open].map((maker) => this.#closeMaker(maker)));
    await spare;
    this.#makers.clear();
  }

  /** One that exists, is being made, or is made now and stored. */
  async #keptPicture(
    reference: ArtworkReference,
    page: ArtworkPageFacts,
    picture: PictureOfPage,
    signal: AbortSignal,
  ): Promise<Drawn> {
    if (this.#isSecret(reference)) return await this.#makePicture(reference, page, picture, signal);
    const kept = await this.#cache.picture(reference, picture);
    if (kept) return resultOk(kept);
    const drawn = await this.#makePicture(reference, page, picture, signal);
    if (drawn.ok) await this.#cache.keepPicture(reference, picture, drawn.value.png);
    return drawn;
  }

  async #makePicture(
    reference: ArtworkReference,
    page: ArtworkPageFacts,
    picture: PictureOfPage,
    signal: AbortSignal,
  ): Promise<Drawn> {
    const begun = this.#begun.get(artworkName(reference));
    // Two drawings of one large artwork at a time take twice as long; the coarse one comes first.
    const first = await begun?.drawn;
    if (begun && first?.ok && isSamePicture(begun.picture, picture)) return first;
    const path = await this.#vault.path(reference.sha256);
    const maker = this.#maker(path, this.password(reference.sha256));
    try {
      return await this.drawWith(maker, reference.fileName, page, picture, signal);
    } catch (error) {
      if (signal.aborted) return resultProblem(cancelledProblem);
      throw error;
    }
  }

  async drawWith(
    maker: PictureMaker,
    fileName: string,
    page: ArtworkPageFacts,
    { window, widthPx }: PictureOfPage,
    signal?: AbortSignal,
  ): Promise<Drawn> {
    const crop = page.boxes.crop;
    if (!crop) return resultProblem(pictureProblem('not-drawable', fileName));
    const onPage = pageArea(rectFromStored(window), rectFromStored(crop), page.userUnit);
    const outcome = await maker.picture(page.number, onPage, widthPx, signal && { signal });
    if (!outcome.ok) return resultProblem(pictureProblem(outcome.failure, fileName));
    const { width, height } = outcome.picture;
    return resultOk({ png: pngFromPicture(outcome.picture), widthPx: width, heightPx: height });
  }

  #rememberFacts(facts: ArtworkFacts): void {
    this.#facts.set(artworkName(facts.reference), facts);
    const [oldest] = this.#facts.keys();
    if (this.#facts.size > MAX_FACTS && oldest !== undefined) this.#facts.delete(oldest);
  }

  #isSecret({ sha256 }: ArtworkReference): boolean {
    return this.#passwords.has(sha256);
  }

  #maker(path: string, password: string | undefined): PictureMaker {
    const existing = this.#makers.get(path);
    if (existing) {
      // Moved to the end: the map's order is the order of last use.
      this.#makers.delete(path);
      this.#makers.set(path, existing);
      return existing;
    }
    const maker = this.#openMaker(path, { password, reduces: 'where-quicker' });
    this.#keepMaker(path, maker);
    return maker;
  }

  /** What was read and copied for the first picture serves for those that are drawn next. */
  #useMakerOn(maker: PictureMaker, path: string): void {
    maker.useFileAt(path);
    this.#keepMaker(path, maker);
  }

  #keepMaker(path: string, maker: PictureMaker): void {
    this.#makers.set(path, maker);
    if (this.#makers.size > MAX_MAKERS) {
      const [oldest, idle] = present(
        this.#makers.entries().next().value,
        'The picture maker that waits longest',
      );
      this.#makers.delete(oldest);
      void this.#closeMaker(idle);
    }
  }

  #openMaker(path: string, making?: PictureMaking): PictureMaker {
    const maker = new PictureMaker(path, making);
    this.#open.add(maker);
    return maker;
  }

  async #closeMaker(maker: PictureMaker): Promise<void> {
    await maker.close();
    this.#open.delete(maker);
  }
}

const artworkName = ({ sha256, box }: ArtworkReference): string => `${sha256} ${box}`;

/** The picture that the bench asks for first. */
const coarsePicture = ({ number, extent }: ArtworkPageFacts): PictureOfPage => ({
  page: number,
  window: extent,
  widthPx: coarsePictureWidth({ width: extent.widthMm, height: extent.heightMm }),
});

const isSamePicture = (a: PictureOfPage, b: PictureOfPage): boolean =>
  a.page === b.page && a.widthPx === b.widthPx && isSameRect(a.window, b.window);

const isSameRect = (a: StoredRect, b: StoredRect): boolean =>
  a.xMm === b.xMm && a.yMm === b.yMm && a.widthMm === b.widthMm && a.heightMm === b.heightMm;

function pictureProblem(failure: PictureFailure, fileName: string): Problem {
  const why = {
    'too-slow': 'takes too much work to draw for the preview',
    'too-large': 'is too large for the preview’s memory',
    'not-drawable': 'cannot be drawn by the preview',
    'no-answer': 'was not drawn: the preview gave no answer',
  }[failure];
  return {
    code: `picture-${failure}`,
    message: `${fileName} ${why}.`,
    remedy: 'The panels are not affected: they are cut from the file itself. Judge the artwork in a viewer.',
  };
}
