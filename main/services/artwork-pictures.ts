/** Pictures of archived artwork and outputs for the screens: drawn on threads, kept small, answered as PNG. */
import { rm, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { coarsePictureWidth } from '../../core/coarse-picture.ts';
import type { ArtworkFacts, ArtworkPageFacts, Picture as PngPicture } from '../../core/contract.ts';
import type { ArtworkReference, Job, StoredRect } from '../../core/job/schema.ts';
import { rectFromStored } from '../../core/job/stored-rect.ts';
import { type Problem, type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import type { Vault } from '../archive/vault.ts';
import { cancelledProblem } from '../files/file-problem.ts';
import { scratchFolder } from '../files/scratch-folder.ts';
import { type PictureFailure, PictureMaker } from '../render/picture-maker.ts';
import { pngFromPicture } from '../render/png.ts';
import type { WorkThread } from '../work/work-thread.ts';
import { pageWindow } from './page-window.ts';
import type { PictureOfPage, PreviewCache } from './preview-cache.ts';

const THUMBNAIL_PX = 320;
const THUMBNAIL_TIME_MS = 8000;
const FILE_PICTURE_TIME_MS = 15_000;
/** Each maker holds its file in memory. */
const MAX_MAKERS = 3;

/** Pages of the artworks at hand, by hash and box. */
const MAX_FACTS = 50;

type Drawn = Result<PngPicture>;

export class ArtworkPictures {
  readonly #vault: Vault;
  readonly #work: WorkThread;
  readonly #cache: PreviewCache;
  readonly #makers = new Map<string, PictureMaker>();
  readonly #passwords = new Map<string, string>();
  readonly #facts = new Map<string, ArtworkFacts>();
  /** Coarse pictures that are being made before anybody has asked. */
  readonly #begun = new Map<string, { readonly maker: PictureMaker; readonly drawn: Promise<Drawn> }>();

  constructor(vault: Vault, work: WorkThread, cache: PreviewCache) {
    this.#vault = vault;
    this.#work = work;
    this.#cache = cache;
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
      this.#factsRemembered(known);
      return resultOk({ ...known, reference });
    }
    const facts = await this.#pagesRead(reference, this.password(reference.sha256), signal);
    if (facts.ok) await this.pagesSeen(facts.value);
    return facts;
  }

  /** Tries a password, and remembers one that fits. */
  async unlock(
    reference: ArtworkReference,
    password: string,
    signal: AbortSignal,
  ): Promise<Result<ArtworkFacts>> {
    const facts = await this.#pagesRead(reference, password, signal);
    if (!facts.ok) return facts;
    this.rememberPassword(reference.sha256, password);
    await this.pagesSeen(facts.value);
    return facts;
  }

  async #pagesRead(reference: ArtworkReference, password: string | undefined, signal: AbortSignal) {
    return await this.#work.run(
      'artworkFacts',
      {
        path: this.#vault.path(reference.sha256),
        fileName: reference.fileName,
        box: reference.box,
        isBrief: true,
        ...(password !== undefined && { password }),
      },
      { signal, report: () => undefined },
    );
  }

  /** Takes note of the pages of an artwork. Nothing of one that has a password goes to disk. */
  async pagesSeen(facts: ArtworkFacts): Promise<void> {
    this.#factsRemembered(facts);
    if (!this.#isSecret(facts.reference)) await this.#cache.factsKeep(facts);
  }

  /** Begins the coarse picture of a page of a file that is still on its way into the vault. */
  firstPictureBegin(path: string, facts: ArtworkFacts): void {
    const [page] = facts.pages;
    if (!page) return;
    const { reference } = facts;
    const maker = new PictureMaker(path, this.password(reference.sha256));
    const picture = coarsePicture(page);
    const name = `${artworkName(reference)} ${JSON.stringify(picture)}`;
    const drawn = this.#drawn(maker, reference, page, picture).finally(async () => {
      await maker.close();
      this.#begun.delete(name);
    });
    this.#begun.set(name, { maker, drawn });
  }

  /** A window of a page, in drawn mm. */
  async window(reference: ArtworkReference, picture: PictureOfPage, signal: AbortSignal): Promise<Drawn> {
    const facts = await this.pages(reference, signal);
    if (!facts.ok) return facts;
    const page = facts.value.pages.find(({ number }) => number === picture.page);
    if (!page) return resultProblem(pictureProblem('not-drawable', reference.fileName));
    return await (isSameRect(picture.window, page.extent)
      ? this.#pictureKept(reference, page, picture, signal)
      : this.#pictureMade(reference, page, picture, signal));
  }

  /** The first side of a job; null where there is nothing to show, or it takes too long. */
  async thumbnail(job: Job): Promise<PngPicture | null> {
    const side = job.sides[0];
    if (!job.artwork || !side || !(await this.#vault.has(job.artwork.sha256))) return null;
    const limit = AbortSignal.timeout(THUMBNAIL_TIME_MS);
    const facts = await this.pages(job.artwork, limit);
    const page = facts.ok && facts.value.pages.find(({ number }) => number === side.page);
    if (!page) return null;
    const wanted = { page: side.page, window: side.artworkRect, widthPx: THUMBNAIL_PX };
    const picture = await this.#pictureKept(job.artwork, page, wanted, limit);
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
    const begun = [...this.#begun.values()].map(({ maker }) => maker);
    await Promise.all([...this.#makers.values(), ...begun].map((maker) => maker.close()));
    this.#makers.clear();
  }

  /** One that was made before, or is being made, or is made now and kept. */
  async #pictureKept(
    reference: ArtworkReference,
    page: ArtworkPageFacts,
    picture: PictureOfPage,
    signal: AbortSignal,
  ): Promise<Drawn> {
    if (this.#isSecret(reference)) return await this.#pictureMade(reference, page, picture, signal);
    const kept = await this.#cache.picture(reference, picture);
    if (kept) return resultOk(kept);
    const begun = this.#begun.get(`${artworkName(reference)} ${JSON.stringify(picture)}`);
    const drawn = await (begun?.drawn ?? this.#pictureMade(reference, page, picture, signal));
    if (drawn.ok) await this.#cache.pictureKeep(reference, picture, drawn.value.png);
    return drawn;
  }

  async #pictureMade(
    reference: ArtworkReference,
    page: ArtworkPageFacts,
    picture: PictureOfPage,
    signal: AbortSignal,
  ): Promise<Drawn> {
    const maker = this.#maker(this.#vault.path(reference.sha256), this.password(reference.sha256));
    const drawn = await this.#drawn(maker, reference, page, picture);
    return signal.aborted ? resultProblem(cancelledProblem) : drawn;
  }

  async #drawn(
    maker: PictureMaker,
    reference: ArtworkReference,
    page: ArtworkPageFacts,
    { window, widthPx }: PictureOfPage,
  ): Promise<Drawn> {
    const crop = page.boxes.crop;
    if (!crop) return resultProblem(pictureProblem('not-drawable', reference.fileName));
    const onPage = pageWindow(rectFromStored(window), rectFromStored(crop), page.userUnit);
    const outcome = await maker.picture(page.number, onPage, widthPx);
    if (!outcome.ok) return resultProblem(pictureProblem(outcome.failure, reference.fileName));
    const { width, height } = outcome.picture;
    return resultOk({ png: pngFromPicture(outcome.picture), widthPx: width, heightPx: height });
  }

  #factsRemembered(facts: ArtworkFacts): void {
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

const artworkName = ({ sha256, box }: ArtworkReference): string => `${sha256} ${box}`;

/** The picture that the bench asks for first. */
const coarsePicture = ({ number, extent }: ArtworkPageFacts): PictureOfPage => ({
  page: number,
  window: extent,
  widthPx: coarsePictureWidth({ width: extent.widthMm, height: extent.heightMm }),
});

const isSameRect = (a: StoredRect, b: StoredRect): boolean =>
  a.xMm === b.xMm && a.yMm === b.yMm && a.widthMm === b.widthMm && a.heightMm === b.heightMm;

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
