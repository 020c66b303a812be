import type { Rect } from '../../../core/measure/rect.ts';

/** An RGBA picture, as decoders take it. */
export interface Raster {
  readonly width: number;
  readonly height: number;
  readonly data: Uint8ClampedArray<ArrayBuffer>;
  readonly colorSpace: 'srgb';
}

/** Black rectangles on white at so many pixels per inch, each pixel by its center, as a bilevel printer paints. */
export function rectsRendered(
  rects: readonly Rect[],
  widthMm: number,
  heightMm: number,
  ppi: number,
): Raster {
  const perMm = ppi / 25.4;
  const width = Math.ceil(widthMm * perMm);
  const height = Math.ceil(heightMm * perMm);
  const data = new Uint8ClampedArray(width * height * 4).fill(255);
  for (const rect of rects) {
    for (let y = Math.round(rect.y * perMm); y < Math.round((rect.y + rect.height) * perMm); y += 1) {
      const from = (y * width + Math.round(rect.x * perMm)) * 4;
      const to = (y * width + Math.round((rect.x + rect.width) * perMm)) * 4;
      for (let i = from; i < to; i += 4) data.fill(0, i, i + 3);
    }
  }
  return { width, height, data, colorSpace: 'srgb' };
}

/** A box blur of (2 × radius + 1)² pixels: a phone held badly. */
export function blurred(image: Raster, radius: number): Raster {
  const { width, height, data } = image;
  const out = new Uint8ClampedArray(data.length).fill(255);
  for (let y = 0; y < height; y += 1) {
    for (let x = 0; x < width; x += 1) {
      let sum = 0;
      let count = 0;
      for (let dy = -radius; dy <= radius; dy += 1) {
        for (let dx = -radius; dx <= radius; dx += 1) {
          const [px, py] = [x + dx, y + dy];
          if (px < 0 || py < 0 || px >= width || py >= height) continue;
          sum += data[(py * width + px) * 4]!;
          count += 1;
        }
      }
      const i = (y * width + x) * 4;
      out.fill(Math.round(sum / count), i, i + 3);
    }
  }
  return { ...image, data: out };
}
