/** A photo of a side as stored with the job. */
import { z } from 'zod';
import { PhotoFile } from '../photos/photo-file.ts';

const MOST_MM = 100_000;
const px = z.number().min(-100_000).max(100_000);
const mm = z.number().min(-MOST_MM).max(MOST_MM);

/** A point of the upright photo, from its upper left corner, and its place on the side. */
export const PhotoPoint = z.strictObject({ xPx: px, yPx: px, xMm: mm, yMm: mm });
export type PhotoPoint = z.infer<typeof PhotoPoint>;

export const MOST_PHOTO_POINTS = 40;
export const MOST_STRAIGHT_LINES = 12;
export const MOST_PHOTO_LENGTHS = 12;

const pixel = z.strictObject({ xPx: px, yPx: px });
const lengthMm = z.number().positive().max(MOST_MM);

/** A rectangle whose size on the vehicle is known, such as a door or a window. */
export const PhotoRectangle = z.strictObject({
  widthMm: lengthMm,
  heightMm: lengthMm,
  /** Clockwise from the upper left, as seen on the vehicle. */
  corners: z.array(pixel).length(4),
  /** Place of its upper left corner on the side; absent: determined by the points. */
  at: z.strictObject({ xMm: mm, yMm: mm }).optional(),
});
export type PhotoRectangle = z.infer<typeof PhotoRectangle>;

/** From one point of the photo to another. */
export const PhotoLength = z.strictObject({
  from: pixel,
  to: pixel,
  /** The length measured with a tape; absent: it is measured only in the photo. */
  mm: lengthMm.optional(),
  /** The dimension of the side that it shows; the drawn size is then checked against it. */
  of: z.enum(['width', 'height']).optional(),
});
export type PhotoLength = z.infer<typeof PhotoLength>;

/** A photo under the artwork of a side, for finding and tracing details of the vehicle; it prints on no panel. */
export const SidePhoto = z.strictObject({
  ...PhotoFile.shape,
  points: z.array(PhotoPoint).max(MOST_PHOTO_POINTS),
  /** Lines that are straight on the vehicle, each as points of the photo. */
  straightLines: z.array(z.array(pixel).max(MOST_PHOTO_POINTS)).max(MOST_STRAIGHT_LINES),
  rectangle: PhotoRectangle.optional(),
  lengths: z.array(PhotoLength).max(MOST_PHOTO_LENGTHS).optional(),
  /**
   * Whether the photo was taken square to the side, as the operator states: then two points are enough, or two lengths
   * and one point.
   */
  isSquareOn: z.boolean(),
  /** Distance of the camera from the side; absent: it is estimated. */
  cameraMm: lengthMm.optional(),
  /** Whether the install map shows the photo, small, with its side; absent: no. */
  isOnMap: z.boolean().optional(),
});
export type SidePhoto = z.infer<typeof SidePhoto>;

/** Contents of a photo points file, with the same fields as the job file. */
export const PhotoPoints = SidePhoto.pick({
  points: true,
  rectangle: true,
  lengths: true,
  cameraMm: true,
}).extend({
  points: SidePhoto.shape.points.default([]),
  straightLines: SidePhoto.shape.straightLines.default([]),
  isSquareOn: SidePhoto.shape.isSquareOn.default(false),
});
export type PhotoPoints = z.infer<typeof PhotoPoints>;
