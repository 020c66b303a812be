import type { RasterPicture } from '../drawing/drawing.ts';
import type { Rect } from '../measure/rect.ts';

/** How much of the artwork's darkness is left under lines and numbers. */
const KEPT = 0.45;
const LIGHTENED = Uint8Array.from({ length: 256 }, (_, value) => 255 - Math.round((255 - value) * KEPT));

/** The artwork as a faint ground: even black artwork leaves black lines and numbers readable. */
export function pictureLightened(picture: RasterPicture): RasterPicture {
  const { rgb } = picture;
  const lightened = new Uint8Array(rgb.length);
  for (let at = 0; at < rgb.length; at += 1) lightened[at] = LIGHTENED[rgb[at]!]!;
  return { ...picture, rgb: lightened };
}

/** The part of a picture in `share` of its width and height, in whole pixels, at least one each way. */
export function pictureCropped(picture: RasterPicture, share: Rect): RasterPicture {
  const { widthPx, heightPx, rgb } = picture;
  const pixels = (start: number, length: number, count: number): readonly [number, number] => {
    const first = Math.min(count - 1, Math.max(0, Math.round(start * count)));
    const last = Math.min(count, Math.max(first + 1, Math.round((start + length) * count)));
    return [first, last];
  };
  const [left, right] = pixels(share.x, share.width, widthPx);
  const [top, bottom] = pixels(share.y, share.height, heightPx);
  if (left === 0 && top === 0 && right === widthPx && bottom === heightPx) return picture;
  const width = right - left;
  const cropped = new Uint8Array(width * (bottom - top) * 3);
  for (let y = top; y < bottom; y += 1) {
    const row = (y * widthPx + left) * 3;
    cropped.set(rgb.subarray(row, row + width * 3), (y - top) * width * 3);
  }
  return { widthPx: width, heightPx: bottom - top, rgb: cropped };
}
