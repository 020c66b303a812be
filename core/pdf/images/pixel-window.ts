/**
 * Pixels of an image: whole columns and rows, origin at the top left, y down.
 *
 *     (x, y) ── width ──┐
 *       │               │ height
 *       └───────────────┘
 */
export interface PixelWindow {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

export interface PixelSize {
  readonly width: number;
  readonly height: number;
}

/** Whether the window has whole, positive measures and lies in the image. */
export function isPixelWindowWithin({ x, y, width, height }: PixelWindow, image: PixelSize): boolean {
  return (
    [x, y, width, height].every(Number.isInteger) &&
    x >= 0 &&
    y >= 0 &&
    width > 0 &&
    height > 0 &&
    x + width <= image.width &&
    y + height <= image.height
  );
}

export const isPixelWindowWhole = ({ x, y, width, height }: PixelWindow, image: PixelSize): boolean =>
  x === 0 && y === 0 && width === image.width && height === image.height;

/** The smallest window that holds both: for an image painted more than once on one panel. */
export function pixelWindowUnion(a: PixelWindow, b: PixelWindow): PixelWindow {
  const x = Math.min(a.x, b.x);
  const y = Math.min(a.y, b.y);
  return {
    x,
    y,
    width: Math.max(a.x + a.width, b.x + b.width) - x,
    height: Math.max(a.y + a.height, b.y + b.height) - y,
  };
}
