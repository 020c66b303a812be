/** How a side is divided into panels: regions and the joints between them. */

import { z } from 'zod';
import { id, installDay, lengthMm, positionMm } from './schema-parts.ts';

export const JointKind = z.enum(['lap', 'butt', 'gap']);
export type JointKind = z.infer<typeof JointKind>;

/**
 * How a visible edge is trimmed on the vehicle: over cutting tape under the film, in a gap, or on an edge of the body.
 * A top part that ends on its seam line is trimmed in the shop, regardless of this setting.
 */
export const SeamTrim = z.enum(['tape', 'gap', 'edge']);
export type SeamTrim = z.infer<typeof SeamTrim>;

/**
 * Points of a line that slopes or curves, in order along its direction; straight between them. `offMm` is the distance
 * of that point right of or below `atMm`.
 */
export const LineShape = z
  .array(z.strictObject({ alongMm: positionMm, offMm: positionMm }))
  .min(2)
  .max(1000);
export type LineShape = z.infer<typeof LineShape>;

/**
 * How two parts of a split meet. `first` is the part before the seam (above it, or left of it).
 *
 *            first part │ second part
 *     ───────────────────┼──firstMm──▶        the first part's image extends past the seam
 *          ◀──secondMm───┼───────────────     the second part's image begins before it
 *                       at
 */
export const Joint = z.strictObject({
  id,
  kind: JointKind,
  /**
   * Position of the seam line on the side: x of a vertical seam, y of a horizontal one. For a seam with shape, the
   * position that its points are measured from.
   */
  atMm: positionMm,
  /** Absent: the seam is straight. Before its first point and after its last it continues along its axis. */
  shape: LineShape.optional(),
  /**
   * The body line whose shape it follows, at a distance of its `atMm` minus the line's; the seam moves and bends with
   * the line.
   */
  follows: id.optional(),
  firstMm: lengthMm,
  secondMm: lengthMm,
  /** Which part is on top; used only for laps. */
  top: z.enum(['first', 'second']),
  /** Absent: the shop's default, `limits.seamTrim`. */
  trim: SeamTrim.optional(),
  /** The planner does not move a locked seam. */
  locked: z.boolean().optional(),
});
export type Joint = z.infer<typeof Joint>;

export const SeamDirection = z.enum(['horizontal', 'vertical']);
export type SeamDirection = z.infer<typeof SeamDirection>;

export interface PanelRegion {
  kind: 'panel';
  id: string;
  filmId?: string | undefined;
  installDay?: number | undefined;
}

export interface SplitRegion {
  kind: 'split';
  /** Direction of the seam lines of this split: horizontal seams stack parts top to bottom. */
  seams: z.infer<typeof SeamDirection>;
  joints: z.infer<typeof Joint>[];
  /** One more than `joints`: top to bottom, or left to right. */
  parts: Region[];
}

export const Region: z.ZodType<Region> = z.lazy(() =>
  z.discriminatedUnion('kind', [
    /** Absent `filmId` and `installDay`: those of its side. */
    z.strictObject({
      kind: z.literal('panel'),
      id,
      filmId: id.optional(),
      installDay: installDay.optional(),
    }),
    z.strictObject({
      kind: z.literal('split'),
      seams: SeamDirection,
      joints: z.array(Joint),
      parts: z.array(Region).min(1),
    }),
  ]),
);
export type Region = PanelRegion | SplitRegion;
