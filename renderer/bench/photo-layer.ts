/** The photo of the only side on the bench, over or under its artwork: drawn by a worker, again after each zoom. */

import { present } from '../../core/measure/present.ts';
import {
  edgeLengthsAll,
  type Rect,
  rectGrown,
  rectIntersection,
  rectRight,
} from '../../core/measure/rect.ts';
import { type PhotoPlace, photoPlace } from '../../core/vehicle/photo-place.ts';
import type { SidePhoto } from '../../core/vehicle/side-photo.ts';
import { painterOf } from '../parts/elements.ts';
import { wholePhoto } from '../parts/photo-copy.ts';
import { readPhoto } from '../parts/read-photo.ts';
import { photoView } from '../state/photo-view.ts';
import { placedPictures, placedSides, shown, stage } from './bench-state.ts';
import type { PhotoAnswer, PhotoRequest, PhotoWindow } from './photo-worker.ts';
import { type PlacedPicture, type PlacedSide, pointOnSide, rectOnBench } from './sides-placed.ts';
import { type PxSize, type Viewport, viewportRect } from './viewport.ts';

/** Pixels that a worker draws quickly; larger views are enlarged. */
const MOST_PIXELS = 1_600_000;
/** How far the photo extends past the side, as a share of the side's length. */
const AROUND_SHARE = 0.25;

interface Drawn {
  readonly bitmap: ImageBitmap;
  readonly asked: PhotoWindow;
}

export class PhotoLayer {
  readonly #onChange: () => void;
  #photo: SidePhoto | undefined;
  #place: PhotoPlace | undefined;
  #worker: Worker | undefined;
  #isReady = false;
  #asked: PhotoWindow | undefined;
  #drawn: Drawn | undefined;
  #reading = new AbortController();

  constructor(onChange: () => void) {
    this.#onChange = onChange;
  }

  forget(): void {
    this.#reading.abort();
    this.#worker?.terminate();
    this.#drawn?.bitmap.close();
    this.#worker = undefined;
    this.#drawn = undefined;
    this.#asked = undefined;
    this.#isReady = false;
    this.#photo = undefined;
  }

  /** Paints the available part of the photo, and requests what the view needs. */
  paint(canvas: HTMLCanvasElement, view: Viewport, size: PxSize): void {
    const placed = stage.value.kind === 'side' ? placedSides.value[0] : undefined;
    this.#follow(placed?.layout.side.photo);
    const place = this.#place;
    if (!placed || !place || !photoView.value.isShown) return;
    const wanted = windowWanted(placed, place, view, size);
    if (wanted && this.#isReady && !this.#asked && !isSame(wanted, this.#drawn?.asked)) this.#ask(wanted);
    const drawn = this.#drawn;
    if (!drawn || drawn.asked.place !== place) return;
    const paper = painterOf(canvas);
    const k = view.pxPerMm * window.devicePixelRatio;
    const px = ({ x, y, width, height }: Rect) =>
      [(x - view.xMm) * k, (y - view.yMm) * k, width * k, height * k] as const;
    const whole = rectOnBench(placed, drawn.asked.window);
    for (const { rect, besides, opacity } of layersOf(placed, whole)) {
      paper.save();
      paper.beginPath();
      paper.rect(...px(rect));
      if (besides) paper.rect(...px(besides));
      paper.clip('evenodd');
      paper.globalAlpha = opacity;
      paper.drawImage(drawn.bitmap, ...px(whole));
      paper.restore();
    }
  }

  #follow(photo: SidePhoto | undefined): void {
    if (photo === this.#photo) return;
    if (photo?.sha256 !== this.#photo?.sha256) {
      this.forget();
      if (photo) void this.#start(photo);
    }
    this.#photo = photo;
    const place = photo && photoPlace(photo);
    this.#place = place?.ok ? place.value : undefined;
  }

  async #start(photo: SidePhoto): Promise<void> {
    this.#reading = new AbortController();
    const { signal } = this.#reading;
    const file = await readPhoto(photo, wholePhoto, signal);
    if (signal.aborted || !(file instanceof Blob)) return;
    const worker = new Worker(new URL('./photo-worker.ts', import.meta.url), { type: 'module' });
    this.#worker = worker;
    worker.addEventListener('message', ({ data }: MessageEvent<PhotoAnswer>) => this.#hear(data));
    worker.postMessage(file satisfies PhotoRequest);
  }

  #ask(wanted: PhotoWindow): void {
    this.#asked = wanted;
    present(this.#worker, 'The worker that straightens photos').postMessage(wanted satisfies PhotoRequest);
  }

  #hear(answer: PhotoAnswer): void {
    if (typeof answer === 'string') this.#isReady = answer === 'ready';
    else {
      this.#drawn?.bitmap.close();
      this.#drawn = { bitmap: answer, asked: present(this.#asked, 'What was asked of the worker') };
      this.#asked = undefined;
    }
    this.#onChange();
  }
}

/** The visible part of the side with a margin, at screen resolution. */
function windowWanted(
  placed: PlacedSide,
  place: PhotoPlace,
  view: Viewport,
  size: PxSize,
): PhotoWindow | undefined {
  const { outline } = placed.layout;
  const seen = viewportRect(view, size);
  const inView = rectIntersection<'finished'>(
    { ...pointOnSide(placed, seen), width: seen.width, height: seen.height },
    rectGrown(outline, edgeLengthsAll(outline.width * AROUND_SHARE)),
  );
  if (!inView) return undefined;
  const pxPerMm = Math.min(
    view.pxPerMm * window.devicePixelRatio,
    Math.sqrt(MOST_PIXELS / (inView.width * inView.height)),
  );
  const px = (length: number) => Math.max(1, Math.round(length * pxPerMm));
  return { place, window: inView, widthPx: px(inView.width), heightPx: px(inView.height) };
}

function isSame(a: PhotoWindow, b: PhotoWindow | undefined): boolean {
  const keys = ['x', 'y', 'width', 'height'] as const;
  return (
    a.place === b?.place && a.widthPx === b.widthPx && keys.every((key) => a.window[key] === b.window[key])
  );
}

/** A part of the photo as it is painted over the artwork. */
interface Layer {
  readonly rect: Rect;
  /** A hole in it. */
  readonly besides?: Rect;
  readonly opacity: number;
}

/**
 * Artwork over a photo at 30 % transparency looks the same as the photo over the artwork at 70 %. So the photo is
 * always painted last, and no tile is painted twice.
 */
function layersOf(placed: PlacedSide, whole: Rect): readonly Layer[] {
  const { lies, opacity, swipe } = photoView.value;
  const { x, width } = rectOnBench(placed, placed.layout.outline);
  const end = swipe >= 1 ? rectRight(whole) : Math.min(rectRight(whole), x + swipe * width);
  const upTo = { ...whole, width: Math.max(0, end - whole.x) };
  if (lies === 'over') return [{ rect: upTo, opacity }];
  const picture = shown.value.artwork ? placedPictures.value[0] : undefined;
  const onTop = picture && rectIntersection(upTo, pictureOnBench(picture));
  if (!onTop) return [{ rect: whole, opacity: 1 }];
  return [
    { rect: whole, besides: onTop, opacity: 1 },
    { rect: onTop, opacity: 1 - opacity },
  ];
}

const pictureOnBench = ({ shown: part, at, scale }: PlacedPicture): Rect => ({
  x: at.x + part.x * scale,
  y: at.y + part.y * scale,
  width: part.width * scale,
  height: part.height * scale,
});
