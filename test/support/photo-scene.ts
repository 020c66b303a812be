/** A side photographed by a camera that is known: where each of its points is seen. */
import { numberStream } from './lettered-art.ts';

/** 12 megapixels. */
export const PHOTO_PX = { widthPx: 4000, heightPx: 3000 };
const FOCAL_PX = 2900;
export const SCENE_MM = { width: 6000, height: 2100 };

export interface Camera {
  /** Where it stands, from the middle of the side: to the right, down, and away from it, in mm. */
  readonly xMm: number;
  readonly yMm: number;
  readonly awayMm: number;
  /** The first coefficient of radial distortion, r counted in focal lengths (as in OpenCV's camera model). */
  readonly k1: number;
}

/** It looks at the middle of the side, level. */
export function seenBy({ xMm, yMm, awayMm, k1 }: Camera, side: { readonly x: number; readonly y: number }) {
  const yaw = Math.atan2(-xMm, awayMm);
  const pitch = Math.atan2(-yMm, Math.hypot(xMm, awayMm));
  const [x, y, z] = [side.x - SCENE_MM.width / 2 - xMm, side.y - SCENE_MM.height / 2 - yMm, awayMm];
  const [turnedX, ahead] = [x * Math.cos(yaw) - z * Math.sin(yaw), x * Math.sin(yaw) + z * Math.cos(yaw)];
  const [turnedY, depth] = [
    y * Math.cos(pitch) - ahead * Math.sin(pitch),
    y * Math.sin(pitch) + ahead * Math.cos(pitch),
  ];
  const [u, v] = [turnedX / depth, turnedY / depth];
  const bent = 1 + k1 * (u * u + v * v);
  return {
    xPx: PHOTO_PX.widthPx / 2 + FOCAL_PX * u * bent,
    yPx: PHOTO_PX.heightPx / 2 + FOCAL_PX * v * bent,
  };
}

/** Numbers of a normal distribution of spread 1 (Box and Muller). */
export function normalStream(seed: number): () => number {
  const next = numberStream(seed);
  return () => Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next());
}
