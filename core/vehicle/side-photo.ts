/** A photo of a side as it is kept with the job. */
import { z } from 'zod';
import { PhotoFile } from '../photos/photo-file.ts';

const MOST_MM = 100_000;
const px = z.number().min(-100_000).max(100_000);
const mm = z.number().min(-MOST_MM).max(MOST_MM);

/** A point of the photo, upright, from its upper left corner, and where it is on the side. */
export const PhotoPoint = z.strictObject({ xPx: px, yPx: px, xMm: mm, yMm: mm });
export type PhotoPoint = z.infer<typeof PhotoPoint>;

export const MOST_PHOTO_POINTS = 40;
export const MOST_STRAIGHT_LINES = 12;

/** A photo under the artwork of a side: to find and trace what is on the vehicle, on no panel. */
export const SidePhoto = z.strictObject({
  ...PhotoFile.shape,
  points: z.array(PhotoPoint).max(MOST_PHOTO_POINTS),
  /** Lines that are straight on the vehicle, each by points of the photo. */
  straightLines: z
    .array(z.array(z.strictObject({ xPx: px, yPx: px })).max(MOST_PHOTO_POINTS))
    .max(MOST_STRAIGHT_LINES),
  /** Somebody says that it was taken square to the side: then two points are enough. */
  isSquareOn: z.boolean(),
  /** Whether the install map shows it, small, with its side; absent: no. */
  isOnMap: z.boolean().optional(),
});
export type SidePhoto = z.infer<typeof SidePhoto>;

/** What a file of points says of a photo; it has the same fields as the job file. */
export const PhotoPoints = SidePhoto.pick({ points: true }).extend({
  straightLines: SidePhoto.shape.straightLines.default([]),
  isSquareOn: SidePhoto.shape.isSquareOn.default(false),
});
export type PhotoPoints = z.infer<typeof PhotoPoints>;

export const pointsNeeded = ({ isSquareOn }: Pick<SidePhoto, 'isSquareOn'>): number => (isSquareOn ? 2 : 4);
