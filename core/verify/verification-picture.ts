import type { PixelWindow } from './side-grid.ts';

/** A drawn window of the side: four bytes per pixel (red, green, blue, alpha), rows from the top. */
export interface VerificationPicture {
  readonly window: PixelWindow;
  readonly rgba: Uint8Array;
}

/** Where a pixel of the grid is in the picture's bytes. */
export const byteAt = ({ window }: VerificationPicture, x: number, y: number): number =>
  ((y - window.y) * window.width + (x - window.x)) * 4;

/** Brightness as plain numbers, row by row, for measuring; weights of ITU-R BT.601. */
export function brightness(picture: VerificationPicture, part: PixelWindow): Float32Array {
  const values = new Float32Array(part.width * part.height);
  for (let y = 0; y < part.height; y++) {
    let from = byteAt(picture, part.x, part.y + y);
    for (let x = 0; x < part.width; x++, from += 4) {
      const { rgba } = picture;
      values[y * part.width + x] = 0.299 * rgba[from]! + 0.587 * rgba[from + 1]! + 0.114 * rgba[from + 2]!;
    }
  }
  return values;
}
