/** Photos as the screen shows them: small ones beside a panel, and every one upright. */

import { itemAt } from '../../core/measure/present.ts';
import type { CameraTurn } from '../../core/photos/camera-turn.ts';
import { sizeTurned } from '../../core/photos/camera-turn.ts';
import type { PhotoType } from '../../core/photos/photo-file.ts';
import { webpTurn } from '../../core/photos/webp-cleaned.ts';
import { painterOf } from './elements.ts';

interface PhotoFile {
  readonly bytes: Uint8Array<ArrayBuffer>;
  readonly mediaType: PhotoType;
}

/** Twice what a small photo takes on screen. */
const SMALL_PX = 256;
const JPEG_QUALITY = 0.9;

/** Photos are unpacked one after the other: one of a phone takes 50 MB as pixels. */
let unpacking: Promise<unknown> = Promise.resolve();

/** A small copy, upright. Throws where the photo cannot be drawn. */
export function smallPhoto(file: PhotoFile): Promise<Blob> {
  const copy = unpacking.then(() => copyOf(file, SMALL_PX));
  unpacking = copy.catch(() => undefined);
  return copy;
}

/** The photo itself, or an upright copy where browsers would ignore its orientation. */
export async function wholePhoto(file: PhotoFile): Promise<Blob> {
  return turnToMake(file) === 1 ? new Blob([file.bytes], { type: file.mediaType }) : await copyOf(file);
}

/** Browsers turn a JPEG as it says, and a WebP not at all. */
const turnToMake = ({ bytes, mediaType }: PhotoFile): CameraTurn =>
  mediaType === 'image/webp' ? webpTurn(bytes) : 1;

async function copyOf(file: PhotoFile, mostPx = Number.POSITIVE_INFINITY): Promise<Blob> {
  const turn = turnToMake(file);
  const isWebp = file.mediaType === 'image/webp';
  const picture = await createImageBitmap(
    new Blob([file.bytes], { type: file.mediaType }),
    isWebp ? { imageOrientation: 'none' } : {},
  );
  const scale = Math.min(1, mostPx / Math.max(picture.width, picture.height));
  const [width, height] = [picture.width, picture.height].map((px) =>
    Math.max(1, Math.round(px * scale)),
  ) as [number, number];
  const { widthPx, heightPx } = sizeTurned({ widthPx: width, heightPx: height }, turn);
  const canvas = new OffscreenCanvas(widthPx, heightPx);
  const context = painterOf(canvas);
  context.imageSmoothingQuality = 'high';
  context.setTransform(...uprightTransform(turn, width, height));
  context.drawImage(picture, 0, 0, width, height);
  picture.close();
  return await canvas.convertToBlob({ type: 'image/jpeg', quality: JPEG_QUALITY });
}

type Transform = readonly [number, number, number, number, number, number];

/** From a picture as it was taken, of this size, to how it is seen: CIPA DC-008 (Exif), section 4.6, figure of turns. */
function uprightTransform(turn: CameraTurn, width: number, height: number): Transform {
  return itemAt(
    [
      [1, 0, 0, 1, 0, 0],
      [-1, 0, 0, 1, width, 0],
      [-1, 0, 0, -1, width, height],
      [1, 0, 0, -1, 0, height],
      [0, 1, 1, 0, 0, 0],
      [0, 1, -1, 0, height, 0],
      [0, -1, -1, 0, height, width],
      [0, -1, 1, 0, 0, width],
    ] as const,
    turn - 1,
  );
}
