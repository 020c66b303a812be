/** Photos of sides for the install map: small, upright, as pixels. */
import { readFile } from 'node:fs/promises';
import type { RasterPicture } from '../../core/drawing/drawing.ts';
import type { Side } from '../../core/job/schema.ts';
import { bothMapped } from '../../core/measure/pairs.ts';
import { FileVault, vaultFolder } from '../archive/vault.ts';

/** At 120 mm across some 200 dpi, as much as an office printer shows. */
const MOST_WIDTH_PX = 900;

export const sidesWithPhoto = (sides: readonly Side[]): readonly Side[] =>
  sides.filter(({ photo }) => photo?.isOnMap);

/** By the id of their side; one that the archive has lost, or that cannot be decoded, is left out. */
export async function sidePhotos(
  sides: readonly Side[],
  archiveFolder: string | undefined,
): Promise<ReadonlyMap<string, RasterPicture>> {
  const pictures = new Map<string, RasterPicture>();
  if (archiveFolder === undefined) return pictures;
  const vault = new FileVault(vaultFolder(archiveFolder));
  for (const { id, photo } of sides) {
    if (!photo?.isOnMap) continue;
    const path = await vault.path(photo.sha256);
    const picture = await readFile(path).then(smallPicture, () => undefined);
    if (picture) pictures.set(id, picture);
  }
  return pictures;
}

async function smallPicture(bytes: Uint8Array): Promise<RasterPicture | undefined> {
  const { createCanvas, loadImage } = await import('@napi-rs/canvas');
  // It is turned upright as its camera says.
  const image = await loadImage(bytes).catch(() => undefined);
  if (!image) return undefined;
  const share = Math.min(1, MOST_WIDTH_PX / image.width);
  const [widthPx, heightPx] = bothMapped([image.width, image.height], (px) =>
    Math.max(1, Math.round(px * share)),
  );
  const canvas = createCanvas(widthPx, heightPx);
  const paper = canvas.getContext('2d');
  paper.imageSmoothingQuality = 'high';
  paper.drawImage(image, 0, 0, widthPx, heightPx);
  const { data } = paper.getImageData(0, 0, widthPx, heightPx);
  const rgb = new Uint8Array(widthPx * heightPx * 3);
  for (let from = 0, to = 0; from < data.length; from += 4) {
    rgb[to++] = data[from] ?? 0;
    rgb[to++] = data[from + 1] ?? 0;
    rgb[to++] = data[from + 2] ?? 0;
  }
  return { widthPx, heightPx, rgb };
}
