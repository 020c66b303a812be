/** Holds one photo as pixels, and draws what windows of its side show of it. A thread, so that the bench stays smooth. */

import { present } from '../../core/measure/present.ts';
import type { Rect } from '../../core/measure/rect.ts';
import type { PhotoPlace } from '../../core/vehicle/photo-place.ts';
import { type PixelPicture, photoCopies, photoWarped } from '../../core/vehicle/photo-warp.ts';

export interface PhotoWindow {
  readonly place: PhotoPlace;
  /** In finished mm. */
  readonly window: Rect<'finished'>;
  readonly widthPx: number;
  readonly heightPx: number;
}

/** First the photo, upright; then windows of it, each when the one before has been answered. */
export type PhotoRequest = Blob | PhotoWindow;
/** `ready` once the photo is unpacked, `unreadable` where it cannot be; a picture for each window. */
export type PhotoAnswer = 'ready' | 'unreadable' | ImageBitmap;

let copies: readonly PixelPicture[] = [];

const answer = (message: PhotoAnswer): void =>
  typeof message === 'string'
    ? self.postMessage(message)
    : self.postMessage(message, { transfer: [message] });

self.addEventListener('message', async ({ data }: MessageEvent<PhotoRequest>) => {
  if (!(data instanceof Blob)) {
    const { data: pixels, widthPx, heightPx } = photoWarped(copies, data.place, data.window, data);
    answer(await createImageBitmap(new ImageData(pixels, widthPx, heightPx)));
    return;
  }
  try {
    copies = photoCopies(await unpacked(data));
    answer('ready');
  } catch {
    answer('unreadable');
  }
});

/** Rows that are read at a time: a canvas of the whole of a large photo would hold it twice. */
const STRIP_ROWS = 512;

async function unpacked(blob: Blob): Promise<PixelPicture> {
  const picture = await createImageBitmap(blob);
  const { width, height } = picture;
  const data = new Uint8ClampedArray(width * height * 4);
  const strip = present(
    new OffscreenCanvas(width, STRIP_ROWS).getContext('2d', { willReadFrequently: true }),
    'The painter of a canvas',
  );
  for (let y = 0; y < height; y += STRIP_ROWS) {
    const rows = Math.min(STRIP_ROWS, height - y);
    strip.clearRect(0, 0, width, STRIP_ROWS);
    strip.drawImage(picture, 0, -y);
    data.set(strip.getImageData(0, 0, width, rows).data, y * width * 4);
  }
  picture.close();
  return { data, widthPx: width, heightPx: height };
}
