/**
 * The pixels that all panels of a side share. The grid begins at the corner of the side, so that every panel is drawn
 * at its place on the vehicle, neighbors can be compared pixel by pixel, and a window is always whole pixels.
 */

import { itemAt } from '../measure/present.ts';
import { type Rect, rectBottom, rectRight } from '../measure/rect.ts';
import { MM_PER_INCH, type Mm } from '../measure/units.ts';

/**
 * `all`: an overlap of an inch is a dozen pixels, and a shift of half a millimeter is a quarter of a pixel. `areas`: a
 * shift of a millimeter is a third of a pixel. Small panels are drawn larger, up to `wantedPixels`.
 */
const DETAIL = {
  all: { minPpi: 12, wantedPixels: 0.6e6 },
  areas: { minPpi: 8, wantedPixels: 0.15e6 },
} as const;
/** More shows nothing new: lettering and edges are sharp well below this. */
const MAX_PPI = 60;
/** Long panels are drawn smaller, so that a picture never has more pixels than this in memory. */
export const MAX_PICTURE_PIXELS = 2e6;

/** A rectangle of whole pixels on the side's grid. */
export interface PixelWindow {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

export class SideGrid {
  readonly ppi: number;

  constructor(ppi: number) {
    this.ppi = ppi;
  }

  /** A grid that suits the largest of these rectangles; `areas` where pictures need only confirm what was read. */
  static fitting(rects: readonly Rect<'finished'>[], detail: keyof typeof DETAIL = 'all'): SideGrid {
    const largest = Math.max(...rects.map(({ width, height }) => (width * height) / MM_PER_INCH ** 2));
    const { minPpi, wantedPixels } = DETAIL[detail];
    const wanted = Math.min(MAX_PPI, Math.max(minPpi, Math.sqrt(wantedPixels / largest)));
    return new SideGrid(Math.min(wanted, Math.sqrt(MAX_PICTURE_PIXELS / largest)));
  }

  get mmPerPixel(): Mm {
    return MM_PER_INCH / this.ppi;
  }

  /** The smallest window that holds the rectangle. */
  around(rect: Rect<'finished'>): PixelWindow {
    const at = (length: Mm): number => length / this.mmPerPixel;
    const x = Math.floor(at(rect.x) + TINY);
    const y = Math.floor(at(rect.y) + TINY);
    return {
      x,
      y,
      width: Math.max(1, Math.ceil(at(rectRight(rect)) - TINY) - x),
      height: Math.max(1, Math.ceil(at(rectBottom(rect)) - TINY) - y),
    };
  }

  /** The pixels wholly inside the rectangle, minus one more along each edge; undefined where there are none. */
  inside(rect: Rect<'finished'>): PixelWindow | undefined {
    const { x, y, width, height } = this.around(rect);
    const inner = { x: x + 2, y: y + 2, width: width - 4, height: height - 4 };
    return inner.width > 0 && inner.height > 0 ? inner : undefined;
  }

  /** The rectangle of the side that a window shows. */
  rect({ x, y, width, height }: PixelWindow): Rect<'finished'> {
    const k = this.mmPerPixel;
    return { x: x * k, y: y * k, width: width * k, height: height * k };
  }
}

/** Fractions of a pixel below this are rounding, not length. */
const TINY = 1e-6;

/** The smallest window that holds both. */
export function pixelWindowsUnion(a: PixelWindow, b: PixelWindow): PixelWindow {
  const x = Math.min(a.x, b.x);
  const y = Math.min(a.y, b.y);
  return {
    x,
    y,
    width: Math.max(a.x + a.width, b.x + b.width) - x,
    height: Math.max(a.y + a.height, b.y + b.height) - y,
  };
}

export const holdsWindow = (outer: PixelWindow, inner: PixelWindow): boolean => {
  const { x, y, width, height } = pixelWindowsUnion(outer, inner);
  return x === outer.x && y === outer.y && width === outer.width && height === outer.height;
};

/** Windows that contain all of these; two are merged where that adds almost no pixels. */
export function windowsApart(windows: readonly PixelWindow[]): PixelWindow[] {
  const apart: PixelWindow[] = [];
  for (let window of windows) {
    for (let at = 0; at < apart.length; at++) {
      const union = pixelWindowsUnion(window, itemAt(apart, at));
      if (pixelCount(union) > MERGED_SLACK * (pixelCount(window) + pixelCount(itemAt(apart, at)))) continue;
      window = union;
      apart.splice(at, 1);
      at = -1;
    }
    apart.push(window);
  }
  return apart;
}

/** Another picture costs about as much as a tenth more pixels. */
const MERGED_SLACK = 1.1;

export const pixelCount = ({ width, height }: PixelWindow): number => width * height;
