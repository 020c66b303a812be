/**
 * How a seam looks once it is installed: the artwork at the seam, with the top panel slightly out of place, and the
 * step of its film.
 *
 *     seamLook(seam, picture of 160 × 90 mm, its window, { apartMm: 1, alongMm: 0.5 })
 *
 * The shifted panel is the one that is installed second: the one on top, else the second one. Over cutting tape its
 * edge stays on the seam line; where panels end on their printed edges, a gap or an overlap appears.
 */
import { pathValue } from '../measure/path.ts';
import { polygonInsideAt } from '../measure/polygon.ts';
import type { Point, Rect } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';
import type { Seam } from './panel.ts';
import { seamPath } from './seam-line-place.ts';

/** How far a panel is out of place: away from its neighbor, and along the seam. Negative is the other direction. */
export interface SeamShift {
  readonly apartMm: Mm;
  readonly alongMm: Mm;
}

export interface LookedPicture {
  readonly widthPx: number;
  readonly heightPx: number;
  /** Row by row, this many bytes per pixel. */
  readonly pixels: Uint8Array | Uint8ClampedArray;
  readonly channels: 3 | 4;
}

export type LookedSeam = Pick<
  Seam,
  'direction' | 'joint' | 'at' | 'path' | 'top' | 'firstMm' | 'secondMm' | 'squareShare'
>;

/**
 * Film and laminate are about 0.15 mm thick; their edge with its shadow looks about twice as wide. Common practice, no
 * source.
 */
const STEP_MM: Mm = 0.3;
/** The top film is slightly raised where the film below it ends. */
const RISE_MM: Mm = 0.8;
/** Gray of the vehicle between panels that are apart; its real color is unknown. */
const BARE = 118;

/** The pixels of the picture as the installed seam would look; `bare`: where there is no film. Keeps SL1. */
export function seamLook(
  seam: LookedSeam,
  { widthPx, heightPx, pixels, channels }: LookedPicture,
  window: Rect<'finished'>,
  { apartMm, alongMm }: SeamShift,
  bare: readonly (readonly Point<'finished'>[])[] = [],
): Uint8ClampedArray<ArrayBuffer> {
  const looked = new Uint8ClampedArray(pixels.length);
  const path = seamPath(seam);
  const isLap = seam.joint === 'lap';
  const isFirstMoved = isLap && seam.top === 'first';
  /** Toward the moved panel. */
  const way = isFirstMoved ? -1 : 1;
  const underMm = (isFirstMoved ? seam.secondMm : seam.firstMm) / seam.squareShare;
  const mmPerPx = { x: window.width / widthPx, y: window.height / heightPx };
  const halfPx = Math.max(mmPerPx.x, mmPerPx.y) / 2;
  const isUpright = seam.direction === 'vertical';
  const offPx = {
    x: (isUpright ? way * apartMm : alongMm) / mmPerPx.x,
    y: (isUpright ? alongMm : way * apartMm) / mmPerPx.y,
  };
  /** Position of the seam line at each pixel along the seam. */
  const lineAt = Float64Array.from({ length: isUpright ? heightPx : widthPx }, (_, i) =>
    pathValue(path, isUpright ? window.y + (i + 0.5) * mmPerPx.y : window.x + (i + 0.5) * mmPerPx.x),
  );
  const edge = isLap ? 0 : apartMm;
  const stepMm = Math.max(STEP_MM / (isLap ? 2 : 4), halfPx);
  const riseMm = Math.max(RISE_MM / 2, halfPx);
  const lightAt = (beyond: Mm): number => {
    if (!isLap) return Math.abs(beyond - Math.max(0, edge)) <= stepMm ? 0.75 : 1;
    if (Math.abs(beyond) <= stepMm) return 0.55;
    return underMm > 0 && Math.abs(beyond - underMm) <= riseMm ? 1.12 : 1;
  };
  for (let y = 0; y < heightPx; y++) {
    const rowY = window.y + (y + 0.5) * mmPerPx.y;
    const movedY = clamped(Math.round(y - offPx.y), heightPx);
    for (let x = 0; x < widthPx; x++) {
      const across = isUpright ? window.x + (x + 0.5) * mmPerPx.x : rowY;
      /** Distance past the seam line, toward the moved panel. */
      const beyond = way * (across - lineAt[isUpright ? y : x]!);
      const to = (y * widthPx + x) * channels;
      if (beyond > 0 && beyond < edge) {
        looked.fill(BARE, to, to + 3);
        if (channels === 4) looked[to + 3] = 255;
        continue;
      }
      const movedX = clamped(Math.round(x - offPx.x), widthPx);
      const from = beyond >= edge ? (movedY * widthPx + movedX) * channels : to;
      const light = lightAt(beyond);
      looked[to] = pixels[from]! * light;
      looked[to + 1] = pixels[from + 1]! * light;
      looked[to + 2] = pixels[from + 2]! * light;
      if (channels === 4) looked[to + 3] = pixels[from + 3]!;
    }
    for (const { start, end } of bare.flatMap((points) => polygonInsideAt(points, rowY))) {
      const from = clampedEnd((start - window.x) / mmPerPx.x, widthPx);
      const to = clampedEnd((end - window.x) / mmPerPx.x, widthPx);
      for (let at = (y * widthPx + from) * channels; at < (y * widthPx + to) * channels; at++)
        looked[at] = channels === 4 && at % 4 === 3 ? 255 : BARE;
    }
  }
  return looked;
}

const clampedEnd = (index: number, count: number): number => Math.min(count, Math.max(0, Math.round(index)));

const clamped = (index: number, count: number): number => Math.min(count - 1, Math.max(0, index));

/** The part of the seam to show first: its middle, and a length around it. */
export function seamWindow(
  seam: LookedSeam,
  alongMm: Mm,
  size: { readonly width: Mm; readonly height: Mm },
): Rect<'finished'> {
  const across = pathValue(seamPath(seam), alongMm);
  const [x, y] = seam.direction === 'vertical' ? [across, alongMm] : [alongMm, across];
  return { x: x - size.width / 2, y: y - size.height / 2, width: size.width, height: size.height };
}
