/** Warps a photo to its place on the side, with interpolation, at the resolution of the target. */
import type { Rect } from '../measure/rect.ts';
import { homographyApplied, homographyDepth } from './homography.ts';
import { type PhotoPlace, photoPointFromSide } from './photo-place.ts';

/** Red, green, blue and opacity per pixel, row by row from the top. */
export interface PixelPicture {
  readonly data: Uint8ClampedArray<ArrayBuffer>;
  readonly widthPx: number;
  readonly heightPx: number;
}

/**
 * A photo and copies of it, each half as large as the one before: distant parts use a smaller copy, which avoids
 * flicker.
 */
export function photoCopies(photo: PixelPicture): readonly PixelPicture[] {
  const copies = [photo];
  for (let last = photo; Math.min(last.widthPx, last.heightPx) > 64; ) {
    last = halved(last);
    copies.push(last);
  }
  return copies;
}

function halved({ data, widthPx, heightPx }: PixelPicture): PixelPicture {
  const [width, height] = [widthPx >> 1, heightPx >> 1];
  const half = new Uint8ClampedArray(width * height * 4);
  for (let y = 0, to = 0; y < height; y++) {
    let from = 2 * y * widthPx * 4;
    const below = widthPx * 4;
    for (let x = 0; x < width; x++, from += 8) {
      for (let channel = 0; channel < 4; channel++, to++) {
        const at = from + channel;
        half[to] = (data[at]! + data[at + 4]! + data[at + below]! + data[at + below + 4]! + 2) >> 2;
      }
    }
  }
  return { data: half, widthPx: width, heightPx: height };
}

/**
 * This many pixels in a row use one copy of the photo, because the suitable copy changes little from pixel to pixel.
 */
const SAME_COPY_PX = 16;

/**
 * The photo inside a window of the side (finished mm), as `widthPx` × `heightPx` pixels. Clear where the photo has
 * nothing, and past its horizon.
 */
export function photoWarped(
  copies: readonly PixelPicture[],
  place: PhotoPlace,
  window: Rect<'finished'>,
  { widthPx, heightPx }: { readonly widthPx: number; readonly heightPx: number },
): PixelPicture {
  const data = new Uint8ClampedArray(widthPx * heightPx * 4);
  const mmPerPx = { x: window.width / widthPx, y: window.height / heightPx };
  const sideOf = depthSign(place);
  const levelAt = (x: number, y: number): number => {
    const at = photoPointFromSide(place, { x, y });
    const beside = photoPointFromSide(place, { x: x + mmPerPx.x, y });
    const below = photoPointFromSide(place, { x, y: y + mmPerPx.y });
    const step = Math.max(
      Math.hypot(beside.xPx - at.xPx, beside.yPx - at.yPx),
      Math.hypot(below.xPx - at.xPx, below.yPx - at.yPx),
    );
    return Math.min(copies.length - 1, Math.max(0, Math.round(Math.log2(step))));
  };
  for (let row = 0; row < heightPx; row++) {
    const y = window.y + (row + 0.5) * mmPerPx.y;
    let level = levelAt(window.x, y);
    for (let column = 0; column < widthPx; column++) {
      const x = window.x + (column + 0.5) * mmPerPx.x;
      if (homographyDepth(place.toPhoto, { x, y }) * sideOf <= 0) continue;
      const at = photoPointFromSide(place, { x, y });
      if (column % SAME_COPY_PX === 0) level = levelAt(x, y);
      const [px, py] = [at.xPx / 2 ** level - 0.5, at.yPx / 2 ** level - 0.5];
      sample(copies[level]!, px, py, data, (row * widthPx + column) * 4);
    }
  }
  return { data, widthPx, heightPx };
}

/** The sign of points in front of the camera: that of the center of the photo. */
function depthSign({ lens, toSide, toPhoto }: PhotoPlace): number {
  const middle = homographyApplied(toSide, { x: lens.widthPx / 2, y: lens.heightPx / 2 });
  return Math.sign(homographyDepth(toPhoto, middle));
}

/** Interpolates between four pixels, weighted by distance. */
function sample(
  { data, widthPx, heightPx }: PixelPicture,
  x: number,
  y: number,
  to: Uint8ClampedArray,
  at: number,
): void {
  if (!(x >= -0.5 && y >= -0.5 && x <= widthPx - 0.5 && y <= heightPx - 0.5)) return;
  const left = Math.min(Math.max(Math.floor(x), 0), widthPx - 1);
  const top = Math.min(Math.max(Math.floor(y), 0), heightPx - 1);
  const [right, bottom] = [Math.min(left + 1, widthPx - 1), Math.min(top + 1, heightPx - 1)];
  const [fx, fy] = [Math.min(Math.max(x - left, 0), 1), Math.min(Math.max(y - top, 0), 1)];
  const [a, b] = [(top * widthPx + left) * 4, (top * widthPx + right) * 4];
  const [c, d] = [(bottom * widthPx + left) * 4, (bottom * widthPx + right) * 4];
  for (let channel = 0; channel < 4; channel++) {
    const upper = data[a + channel]! * (1 - fx) + data[b + channel]! * fx;
    const lower = data[c + channel]! * (1 - fx) + data[d + channel]! * fx;
    to[at + channel] = upper * (1 - fy) + lower * fy;
  }
}
