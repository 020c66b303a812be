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

/** Whether the window has whole, positive sizes and is inside the image. */
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
