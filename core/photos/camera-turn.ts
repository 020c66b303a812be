/** How the camera was held, which viewers need to show a photo upright: CIPA DC-008 (Exif), section 4.6. */
import exif from 'exifreader';
import { viewOf } from './byte-parts.ts';
import type { PictureSize } from './cleaned-picture.ts';

/** As Exif numbers them: 1 is upright, from 5 on the picture is on its side. */
export type CameraTurn = 1 | 2 | 3 | 4 | 5 | 6 | 7 | 8;

const ORIENTATION = 0x0112;
const BIG_ENDIAN = 0x4d4d;

/** Undefined where the directory of a photo, as TIFF, says nothing of it. */
export function cameraTurn(directory: Uint8Array): CameraTurn | undefined {
  try {
    const turn = exif.load(directory.slice().buffer).Orientation?.value;
    return turn !== undefined && turn >= 1 && turn <= 8 ? (turn as CameraTurn) : undefined;
  } catch {
    // It throws at what it cannot read.
    return undefined;
  }
}

/** A big-endian TIFF whose one directory has one entry, a short: how the camera was held. */
export function turnDirectory(turn: CameraTurn): Uint8Array {
  const bytes = new Uint8Array(26);
  const view = viewOf(bytes);
  view.setUint16(0, BIG_ENDIAN);
  view.setUint16(2, 42);
  view.setUint32(4, 8);
  view.setUint16(8, 1);
  view.setUint16(10, ORIENTATION);
  view.setUint16(12, 3);
  view.setUint32(14, 1);
  view.setUint16(18, turn);
  return bytes;
}

/** As it is seen once it is turned upright. */
export const sizeTurned = ({ widthPx, heightPx }: PictureSize, turn: CameraTurn): PictureSize =>
  turn > 4 ? { widthPx: heightPx, heightPx: widthPx } : { widthPx, heightPx };
