/** A side photographed by a camera that is known: where each of its points is seen. */
import { homographyApplied } from '../../core/vehicle/homography.ts';
import { pointIdeal } from '../../core/vehicle/lens.ts';
import { type PhotoPlace, photoPlace } from '../../core/vehicle/photo-place.ts';
import type { SidePhoto } from '../../core/vehicle/side-photo.ts';
import { numberStream } from './lettered-art.ts';

/** 12 megapixels. */
export const PHOTO_PX = { widthPx: 4000, heightPx: 3000 };
const FOCAL_PX = 2900;
export const SCENE_MM = { width: 6000, height: 2100 };

export interface Camera {
  /** Its place from the middle of the side: to the right, down, and away from it, in mm. */
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

export const PHOTO: SidePhoto = {
  sha256: 'a'.repeat(64),
  fileName: 'driver-side.jpg',
  mediaType: 'image/jpeg',
  ...PHOTO_PX,
  sizeBytes: 4_000_000,
  points: [],
  straightLines: [],
  isSquareOn: false,
};

export const placeOf = (photo: Partial<SidePhoto>): PhotoPlace => {
  const place = photoPlace({ ...PHOTO, ...photo });
  if (!place.ok) throw new Error(place.problem.message);
  return place.value;
};
export const sidePointFromPhoto = (
  { lens, toSide }: PhotoPlace,
  { xPx, yPx }: { xPx: number; yPx: number },
) => homographyApplied(toSide, pointIdeal(lens, { x: xPx, y: yPx }));
/** Near the four corners first, so that few points still lie far apart. */
const MARKS = [
  [0.04, 0.06],
  [0.95, 0.05],
  [0.93, 0.94],
  [0.06, 0.92],
  [0.5, 0.08],
  [0.52, 0.9],
  [0.07, 0.5],
  [0.9, 0.45],
] as const;
export const POSITIONS = [
  { xMm: 150, yMm: -200, awayMm: 6200 },
  { xMm: -1900, yMm: -300, awayMm: 6600 },
  { xMm: 1500, yMm: 250, awayMm: 7400 },
] as const;

/** How far check points that were not used come to lie from where they are, as shares of the side's length. */
function errorsOfPhoto(camera: Camera, count: number, seed: number): readonly number[] {
  const noise = normalStream(seed);
  const next = numberStream(seed + 500);
  const clicked = (at: { x: number; y: number }) => {
    const { xPx, yPx } = seenBy(camera, at);
    return { xPx: xPx + noise(), yPx: yPx + noise() };
  };
  const points = MARKS.slice(0, count).map(([x, y]) => {
    const at = { x: x * SCENE_MM.width, y: y * SCENE_MM.height };
    return { ...clicked(at), xMm: at.x, yMm: at.y };
  });
  const along = (y: number) =>
    Array.from({ length: 7 }, (_, n) => clicked({ x: (SCENE_MM.width * (n + 0.5)) / 7, y }));
  const upright = (x: number) =>
    Array.from({ length: 5 }, (_, n) => clicked({ x, y: (SCENE_MM.height * (n + 0.5)) / 5 }));
  const straightLines = [along(60), along(2040), along(1500), upright(80), upright(5900)];
  const place = placeOf({ points, straightLines });
  return Array.from({ length: 50 }, () => {
    const at = { x: next() * SCENE_MM.width, y: next() * SCENE_MM.height };
    const found = sidePointFromPhoto(place, seenBy(camera, at));
    return Math.hypot(found.x - at.x, found.y - at.y) / SCENE_MM.width;
  });
}

/** Of 100 photos with 50 check points each, ascending. */
export function photoErrors(): readonly number[] {
  const next = numberStream(77);
  return Array.from({ length: 100 }, (_, n) =>
    errorsOfPhoto({ ...POSITIONS[n % 3]!, k1: -0.2 + 0.3 * next() }, 4 + (n % 5), n),
  )
    .flat()
    .sort((a, b) => a - b);
}
