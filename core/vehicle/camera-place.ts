/**
 * Position of a photo's camera, and how far it displaces points that are not in the plane of the side:
 *
 *     camera ●───────────────┬ foot          a point that stands d proud, x from the foot of the camera,
 *      D     ╲               │               is seen d · x ÷ D too far out
 *               ╲            │ x
 *                  ╲      d  │
 *                     ●──────┼
 */
import type { Mm } from '../measure/units.ts';
import type { Homography, PlanePoint } from './homography.ts';
import type { PhotoPlace } from './photo-place.ts';

export interface CameraPlace {
  /** The point of the side directly in front of it. */
  readonly foot: PlanePoint;
  readonly distanceMm: Mm;
}

/** Focal length of the main camera of phones, in diagonals of the picture: 26 mm on 36 × 24 mm (from memory). */
const PHONE_FOCAL = 0.6;
const [SHORTEST_FOCAL, LONGEST_FOCAL] = [0.1, 30];
const STEPS = 60;

/** The position of the camera: at a typed distance, or at the distance that a phone lens implies. */
export function cameraPlace(
  { lens: { widthPx, heightPx }, toPhoto }: PhotoPlace,
  cameraMm: Mm | undefined,
): CameraPlace {
  const diagonal = Math.hypot(widthPx, heightPx);
  const [a, b, c, d, e, f, g, h, i] = toPhoto;
  const [u, v] = [widthPx / 2, heightPx / 2];
  const centered: Homography = [a - u * g, b - u * h, c - u * i, d - v * g, e - v * h, f - v * i, g, h, i];
  const placeWith = (focal: number) => cameraOfFocal(centered, focal * diagonal);
  if (cameraMm === undefined) return placeWith(PHONE_FOCAL);
  // The longer the lens, the farther away the camera was.
  let [short, long] = [SHORTEST_FOCAL, LONGEST_FOCAL];
  for (let step = 0; step < STEPS; step++) {
    const middle = Math.sqrt(short * long);
    if (placeWith(middle).distanceMm < cameraMm) short = middle;
    else long = middle;
  }
  return { ...placeWith(short), distanceMm: cameraMm };
}

type Vector = readonly [number, number, number];

/** The columns of H are those of K · [r₁ r₂ t], up to a factor; the camera is at −[r₁ r₂ r₃]⁻¹ · t. */
function cameraOfFocal([a, b, c, d, e, f, g, h, i]: Homography, focal: number): CameraPlace {
  const along: Vector = [a / focal, d / focal, g];
  const down: Vector = [b / focal, e / focal, h];
  const origin: Vector = [c / focal, f / focal, i];
  const scale = (Math.hypot(...along) + Math.hypot(...down)) / 2;
  const over = ([x, y, z]: Vector): Vector => [x / scale, y / scale, z / scale];
  const [r1, r2, t] = [over(along), over(down), over(origin)];
  const r3 = cross(r1, r2);
  const determinant = dot(r3, r3);
  return {
    foot: { x: -dot(t, cross(r2, r3)) / determinant, y: -dot(t, cross(r3, r1)) / determinant },
    distanceMm: Math.abs(dot(t, r3)) / determinant,
  };
}

const dot = (a: Vector, b: Vector): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
const cross = (a: Vector, b: Vector): Vector => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
];

/**
 * How far a point that is proud of the side by this much is displaced in the photo; a negative result (a recessed
 * point) is toward the foot of the camera. Keeps PH10.
 */
export function proudShift({ foot, distanceMm }: CameraPlace, at: PlanePoint, proudMm: Mm): Mm {
  return (proudMm * Math.hypot(at.x - foot.x, at.y - foot.y)) / distanceMm;
}
