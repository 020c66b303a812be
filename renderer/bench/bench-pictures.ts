/** Paints the artwork on a canvas, from tiles: for the bench and for its loupe. */

import { type Rect, rectGrown } from '../../core/measure/rect.ts';
import { ask } from '../client/client.ts';
import { painterOf } from '../parts/elements.ts';
import { job, pageExtents } from '../state/open-job.ts';
import { placedPictures, placedSides, shown } from './bench-state.ts';
import { isPictureAwaited, pictureProblem } from './picture-problem.ts';
import { type PlacedPicture, rectOnBench } from './sides-placed.ts';
import { TileStore } from './tile-store.ts';
import { drawnWindow, levelFor, levelTiles, type Tile, type TileBlock, tilesWanted } from './tiles.ts';
import type { PxSize, Viewport } from './viewport.ts';

/** The same in both themes, as artwork is. */
const PAPER = '#dcdcdc';

export class BenchPictures {
  readonly #tiles: TileStore<ImageBitmap>;
  #drawnArtwork: string | undefined;

  constructor(onChange: () => void) {
    this.#tiles = new TileStore<ImageBitmap>({
      pictures: tilePictures,
      release: (picture) => picture.close(),
      onChange,
      now: () => performance.now(),
    });
  }

  forget(): void {
    this.#tiles.forget();
  }

  /** Another artwork has other tiles. */
  followArtwork(): void {
    const artwork = job.value?.artwork;
    const name = artwork && `${artwork.sha256} ${artwork.box}`;
    if (name === this.#drawnArtwork) return;
    this.#drawnArtwork = name;
    this.#tiles.forget();
  }

  /** Paints the papers and artwork in `view`; returns the tiles needed for full sharpness. */
  paint(canvas: HTMLCanvasElement, view: Viewport, size: PxSize): readonly Tile[] {
    const ratio = window.devicePixelRatio;
    const [width, height] = [Math.round(size.widthPx * ratio), Math.round(size.heightPx * ratio)];
    if (canvas.width !== width) canvas.width = width;
    if (canvas.height !== height) canvas.height = height;
    const paper = painterOf(canvas);
    paper.setTransform(1, 0, 0, 1, 0, 0);
    paper.clearRect(0, 0, width, height);
    drawPapers(paper, view, ratio);
    const extents = pageExtents.value;
    if (!extents || !shown.value.artwork) return [];
    const wanted: Tile[] = [];
    for (const picture of placedPictures.value) {
      const extent = extents.get(picture.page);
      if (!extent) continue;
      this.#paintPicture(paper, picture, extent, { view, size, ratio });
      wanted.push(...tilesWanted(picture, extent, view, size, ratio));
    }
    return wanted;
  }

  want(tiles: readonly Tile[]): void {
    // All coarse pictures before any sharp one, so that no side stays blank for long.
    this.#tiles.want(tiles.toSorted((a, b) => Number(a.level > 0) - Number(b.level > 0)));
    isPictureAwaited.value = this.#tiles.isWaiting;
    pictureProblem.value = placedPictures.value
      .map(({ page }) => this.#tiles.problem(page))
      .find((problem) => problem !== undefined);
  }

  /** Coarse tiles first, sharper ones over them; nothing beyond what the picture shows. */
  #paintPicture(
    paper: CanvasRenderingContext2D,
    picture: PlacedPicture,
    extent: Rect<'drawn'>,
    { view, size, ratio }: { readonly view: Viewport; readonly size: PxSize; readonly ratio: number },
  ): void {
    const window = drawnWindow(picture, view, size);
    if (!window) return;
    const k = view.pxPerMm * ratio;
    const px = (rect: Rect) => ({
      x: (picture.at.x + rect.x * picture.scale - view.xMm) * k,
      y: (picture.at.y + rect.y * picture.scale - view.yMm) * k,
      width: rect.width * picture.scale * k,
      height: rect.height * picture.scale * k,
    });
    paper.save();
    const clip = px(window);
    paper.beginPath();
    paper.rect(clip.x, clip.y, clip.width, clip.height);
    paper.clip();
    const sharp = levelFor(extent, k * picture.scale, picture.scale);
    for (const level of this.#levelsToPaint(picture, extent, window, sharp)) {
      for (const tile of levelTiles(picture.page, extent, level, window)) {
        const bitmap = this.#tiles.tile(tile);
        if (!bitmap) continue;
        const at = px(tile.window);
        // Half a pixel more closes the hairline that rounding leaves between two tiles.
        paper.drawImage(bitmap, at.x, at.y, at.width + 0.5, at.height + 0.5);
      }
    }
    paper.restore();
  }

  /** Only the sharp level where it is complete; else all available levels below it. */
  #levelsToPaint(
    picture: PlacedPicture,
    extent: Rect<'drawn'>,
    window: Rect<'drawn'>,
    sharp: number,
  ): readonly number[] {
    const isComplete = levelTiles(picture.page, extent, sharp, window).every(
      (tile) => this.#tiles.tile(tile) !== undefined,
    );
    return isComplete ? [sharp] : Array.from({ length: sharp + 1 }, (_, level) => level);
  }
}

/** A light ground under artwork, so that lines are readable before it loads, and without it. */
function drawPapers(paper: CanvasRenderingContext2D, view: Viewport, ratio: number): void {
  const k = view.pxPerMm * ratio;
  paper.fillStyle = PAPER;
  for (const placed of placedSides.value) {
    const { outline, side } = placed.layout;
    const { x, y, width, height } = rectOnBench(placed, rectGrown(outline, side.bleed));
    paper.fillRect((x - view.xMm) * k, (y - view.yMm) * k, width * k, height * k);
  }
}

async function tilePictures(block: TileBlock, signal: AbortSignal) {
  const reference = job.value?.artwork;
  if (!reference) return { ok: false, problem: noArtwork } as const;
  const { x, y, width, height } = block.window;
  const answer = await ask(
    'artwork:picture',
    {
      reference,
      page: block.page,
      window: { xMm: x, yMm: y, widthMm: width, heightMm: height },
      widthPx: block.widthPx,
    },
    { signal },
  );
  if (!answer.ok) return answer;
  const png = new Blob([answer.value.png as Uint8Array<ArrayBuffer>], { type: 'image/png' });
  const value = await Promise.all(
    block.parts.map(({ xPx, yPx, widthPx, heightPx }) =>
      // A picture of one tile is taken as it comes; its height may have been rounded otherwise.
      block.parts.length === 1 ? createImageBitmap(png) : createImageBitmap(png, xPx, yPx, widthPx, heightPx),
    ),
  );
  return { ok: true, value } as const;
}

const noArtwork = {
  code: 'artwork-none',
  message: 'The job has no artwork yet.',
  remedy: 'Import the artwork PDF.',
};
