import type { RasterPicture } from './drawing/drawing.ts';

/** How much of the artwork's darkness is left under lines and numbers. */
const KEPT = 0.45;

/** The artwork as a faint ground: even black artwork leaves black lines and numbers readable. */
export function pictureLightened(picture: RasterPicture): RasterPicture {
  return { ...picture, rgb: picture.rgb.map((value) => 255 - Math.round((255 - value) * KEPT)) };
}
