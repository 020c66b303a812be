/** A side of a vehicle. */

import { z } from 'zod';
import { EDGES } from '../measure/rect.ts';
import { SideCode } from '../shop/side-names.ts';
import { SidePhoto } from '../vehicle/side-photo.ts';
import { SideTemplate } from './schema-artwork.ts';
import { BodyLine, Door, Ground, GuideLine, NoFilmArea, NoSeamArea } from './schema-body.ts';
import { Region } from './schema-layout.ts';
import { edgeLengths, id, installDay, name, positiveMm, rectangle, text } from './schema-parts.ts';

/** A figure entered from the check-in sheet of a side. */
export const CheckInFigure = z.strictObject({
  /** Id of the dimension: a body line, a no-film area, a seam, or `diagonal`. */
  dimensionId: id,
  /** The edge of the side that the tape was hooked on. */
  from: z.enum(EDGES),
  measuredMm: positiveMm,
});
export type CheckInFigure = z.infer<typeof CheckInFigure>;

export const Side = z.strictObject({
  id,
  /** The type of vehicle that it belongs to; absent: the first. */
  vehicleId: id.optional(),
  /** Short code that begins each panel label: DS, PS, REAR… */
  code: SideCode,
  name,
  /**
   * Page of the artwork, counted from 1. Absent: the side is not on a page yet, and none of its panels can be written.
   */
  page: z.number().int().positive().optional(),
  /** The side on that page in drawn millimeters, origin top left of the page box. Without a page, only its size counts. */
  artworkRect: rectangle,
  /** Size measured on the vehicle, where available. */
  measured: z.strictObject({ widthMm: positiveMm, heightMm: positiveMm }).partial().optional(),
  /** Other measured dimensions of the check-in sheet, see core/layout/check-in.ts. */
  checkIn: z.array(CheckInFigure).optional(),
  /** Which edge of this side is nearer to the front of the vehicle; 'none' for a front, rear or roof. */
  front: z.enum(['left', 'right', 'none']),
  /** What each edge of the side is on the vehicle, such as `lower edge of the sill`: where to hook a tape. */
  edgesOnVehicle: z.strictObject({ top: text, right: text, bottom: text, left: text }).partial().optional(),
  bleed: edgeLengths,
  /** Distance from which people view this side; absent: DEFAULT_VIEWING_DISTANCE_MM in core/checks. */
  viewingDistanceMm: positiveMm.optional(),
  bodyLines: z.array(BodyLine),
  noSeamAreas: z.array(NoSeamArea),
  ground: z.array(Ground),
  noFilmAreas: z.array(NoFilmArea),
  doors: z.array(Door).optional(),
  guides: z.array(GuideLine).optional(),
  /** Lettering in the artwork that is decoration, so that seams may cut it. In drawn mm, like `artworkRect`. */
  ignoredLettering: z.array(rectangle).optional(),
  layout: Region,
  /** Film of its panels unless they name another; absent: the first film of the job. */
  filmId: id.optional(),
  /** Installation day of its panels unless they name another; absent: the first. */
  installDay: installDay.optional(),
  /** A photo of the side, for finding and tracing details; it is printed on no panel. */
  photo: SidePhoto.optional(),
  template: SideTemplate.optional(),
  notes: text,
});
export type Side = z.infer<typeof Side>;
