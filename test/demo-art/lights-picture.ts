import { randomFrom } from '../support/random.ts';
import { pixelsFor, type Raster, rasterNew } from './pictures.ts';

/** Points of light far out of focus: which color each pixel takes, and how much of it shows. */
export interface LightsPicture {
  /** Index 0…colors−1 into the caller's palette. */
  readonly color: Raster;
  /** The same size, 0 clear … 255 full. */
  readonly cover: Raster;
}

/** Discs of light as a lens draws them when it is focused elsewhere: even, with a brighter rim, thinning downward. */
export function lightsPicture(
  widthMm: number,
  heightMm: number,
  ppi: number,
  colors: number,
  seed: number,
): LightsPicture {
  const random = randomFrom(seed);
  const width = pixelsFor(widthMm, ppi);
  const height = pixelsFor(heightMm, ppi);
  const color = rasterNew(width, height, 1);
  const cover = rasterNew(width, height, 1);
  const count = Math.round((widthMm * heightMm) / 16000);
  for (let i = 0; i < count; i += 1) {
    const radius = pixelsFor(16 + 52 * random() ** 2, ppi);
    const x = radius + random() * (width - 2 * radius);
    const y = radius + random() ** 1.5 * (height - 2 * radius);
    const strength = 40 + 130 * random() * (1 - y / height);
    paintDisc(color, cover, x, y, radius, Math.floor(random() * colors), strength);
  }
  return { color, cover };
}

function paintDisc(
  color: Raster,
  cover: Raster,
  cx: number,
  cy: number,
  radius: number,
  index: number,
  strength: number,
): void {
  for (let y = Math.max(0, Math.floor(cy - radius)); y < Math.min(cover.height, cy + radius); y += 1) {
    for (let x = Math.max(0, Math.floor(cx - radius)); x < Math.min(cover.width, cx + radius); x += 1) {
      const distance = Math.hypot(x - cx, y - cy) / radius;
      if (distance >= 1) continue;
      const rim = 0.7 + 0.3 * Math.min(1, Math.max(0, (distance - 0.7) * 5));
      const edge = Math.min(1, (1 - distance) * 12);
      const at = y * cover.width + x;
      const light = strength * rim * edge;
      const before = cover.samples[at] ?? 0;
      if (light > before) color.samples[at] = index;
      cover.samples[at] = 255 - ((255 - before) * (255 - light)) / 255;
    }
  }
}
