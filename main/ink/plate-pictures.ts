/** Plates drawn one after the other by one PDFium, which takes as long to start as it takes to draw a side. */
import type { LightPicture, PageArea, SummedColors } from '../render/pdfium.ts';
import { PictureMaker, type PictureOutcome } from '../render/picture-maker.ts';

/** Pictures that need a tint transform for every pixel are slow. */
const CPU_SECONDS = 180;

export class PlatePictures {
  #maker: PictureMaker | undefined;
  #last: Promise<unknown> = Promise.resolve();
  #lastWritten: Promise<unknown> = Promise.resolve();

  /** Plates are written one after the other, because the pictures of a page take much memory. */
  async inTurn(write: () => Promise<void>): Promise<void> {
    const written = this.#lastWritten.then(write);
    this.#lastWritten = written.catch(() => undefined);
    await written;
  }

  /** The lightness of the first page of the file at `path`, after all earlier requests. Throws the signal's error. */
  async drawFirstPage(
    path: string,
    window: PageArea,
    widthPx: number,
    colors: SummedColors,
    signal: AbortSignal,
  ): Promise<PictureOutcome<LightPicture>> {
    const drawn = this.#last.then(() => this.#drawNow(path, window, widthPx, colors, signal));
    this.#last = drawn.catch(() => undefined);
    return await drawn;
  }

  async #drawNow(
    path: string,
    window: PageArea,
    widthPx: number,
    colors: SummedColors,
    signal: AbortSignal,
  ): Promise<PictureOutcome<LightPicture>> {
    const stop = () => void this.close();
    signal.addEventListener('abort', stop, { once: true });
    try {
      signal.throwIfAborted();
      if (this.#maker) this.#maker.useOtherFile(path);
      else this.#maker = new PictureMaker(path, { isLent: true });
      const outcome = await this.#maker.light(1, window, widthPx, colors, { cpuSeconds: CPU_SECONDS });
      signal.throwIfAborted();
      return outcome;
    } finally {
      signal.removeEventListener('abort', stop);
    }
  }

  async close(): Promise<void> {
    const maker = this.#maker;
    this.#maker = undefined;
    await maker?.close();
  }
}
