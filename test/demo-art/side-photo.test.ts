import { readFileSync } from 'node:fs';
import { createCanvas, loadImage } from '@napi-rs/canvas';
import { describe, expect, it } from 'vitest';
import { photoPlace, photoPointFromSide } from '../../core/vehicle/photo-place.ts';
import { PhotoPoints } from '../../core/vehicle/side-photo.ts';
import { BOOKMOBILE } from './scene.ts';
import { PHOTO_NAME, photoPoint, sidePhoto, sidePhotoPoints } from './side-photo.ts';

const SIDE = BOOKMOBILE.sides[0]!;
const asset = (ending: string) =>
  readFileSync(new URL(`../../assets/demo/${PHOTO_NAME}${ending}`, import.meta.url));
const points = PhotoPoints.parse(JSON.parse(asset('.points.json').toString()));

async function pixelsOf(jpeg: Uint8Array): Promise<Uint8ClampedArray> {
  const image = await loadImage(Buffer.from(jpeg));
  const context = createCanvas(image.width, image.height).getContext('2d');
  context.drawImage(image, 0, 0);
  return context.getImageData(0, 0, image.width, image.height).data;
}

describe('the photo of the bookmobile', () => {
  it('and its points are what the program beside this test makes', async () => {
    expect(points).toEqual({ ...(sidePhotoPoints(SIDE) as object), isSquareOn: false });
    const [kept, anew] = await Promise.all([pixelsOf(asset('.jpg')), pixelsOf(await sidePhoto(SIDE))]);
    expect(kept.length).toBe(anew.length);
    let difference = 0;
    for (const [at, value] of kept.entries()) difference += Math.abs(value - anew[at]!);
    expect(difference / kept.length).toBeLessThan(0.5);
  });

  it('shows other places of the side within 1 ‰ of its length', () => {
    const photo = { ...points, fileName: 'a.jpg', widthPx: 2400, heightPx: 1350 };
    const place = photoPlace({ ...photo, sha256: 'ab'.repeat(32), sizeBytes: 1, mediaType: 'image/jpeg' });
    if (!place.ok) throw new Error(place.problem.message);
    const pxPerMm = (photoPoint([7200, 1150])[0] - photoPoint([0, 1150])[0]) / 7200;
    for (const [x, y] of [
      [300, 1200],
      [1500, 1880],
      [4500, 300],
      [4500, 2100],
      [6900, 900],
    ] as const) {
      const { xPx, yPx } = photoPointFromSide(place.value, { x, y });
      const [sightX, sightY] = photoPoint([x, y]);
      expect(Math.hypot(xPx - sightX, yPx - sightY) / pxPerMm, `${x}, ${y}`).toBeLessThan(7.2);
    }
  });
});
