/** Items on a side's body: lines, doors, ground, and areas without seam or film. */

import { z } from 'zod';
import { EDGES } from '../measure/rect.ts';
import { GroundDepth } from '../vehicle/ground-depth.ts';
import { LineShape, SeamDirection } from './schema-layout.ts';
import { id, lengthMm, name, positionMm, positiveMm, rectangle } from './schema-parts.ts';

export const BodyLineKind = z.enum(['crease', 'molding', 'body-gap', 'rivet-row']);
export type BodyLineKind = z.infer<typeof BodyLineKind>;

export const BodyLine = z.strictObject({
  id,
  name,
  kind: BodyLineKind,
  direction: SeamDirection,
  /**
   * Position of the line across its direction; for a line with shape, the position that its points are measured from.
   */
  atMm: positionMm,
  /** Beginning and end of a straight line along its direction; absent: the whole side. */
  extent: z.strictObject({ fromMm: positionMm, toMm: positionMm }).optional(),
  /** Absent: the line is straight. It begins at its first point and ends at its last. */
  shape: LineShape.optional(),
});
export type BodyLine = z.infer<typeof BodyLine>;

/** A thin line to place seams and areas by: it is drawn on the bench only, never printed or shown on a sheet. */
export const GuideLine = z.strictObject({ id, direction: SeamDirection, atMm: positionMm });
export type GuideLine = z.infer<typeof GuideLine>;

/**
 * A closed outline: its corners in order, either way around, the last joined to the first. No two of its edges cross.
 * Its bounding rectangle is in `rect`.
 */
const areaOutline = z
  .array(z.strictObject({ xMm: positionMm, yMm: positionMm }))
  .min(3)
  .max(1000);

/** Absent `outline`: the area is the rectangle. */
const area = { id, name, rect: rectangle, outline: areaOutline.optional() };

export const NoSeamArea = z.strictObject(area);
export type NoSeamArea = z.infer<typeof NoSeamArea>;

/**
 * An area where installing takes longer or is risky: seams are hard to register in a recess and on a compound curve.
 */
export const Ground = z.strictObject({
  ...area,
  kind: z.enum(['recess', 'curve']),
  /** Absent where not measured. */
  depth: GroundDepth.optional(),
});
export type Ground = z.infer<typeof Ground>;

/** What a no-film area is; the cautions on the map depend on it. */
export const NoFilmKind = z.enum([
  'window',
  'wheel-arch',
  'lamp',
  'reflector',
  'handle',
  'sensor',
  'vent',
  'license-plate',
  'fuel-flap',
  'emergency-exit',
  'dot-tape',
  'legal-marking',
  'other',
]);
export type NoFilmKind = z.infer<typeof NoFilmKind>;

/** How the glass of a window is printed. */
export const WindowFilm = z.strictObject({
  /** Its film, one of the job's films. */
  filmId: id,
  /** Distance of the film's edge inside the seal, so that no film is on rubber. */
  sealMm: lengthMm,
  /** Image past that edge, trimmed off on the glass. */
  bleedMm: lengthMm,
});
export type WindowFilm = z.infer<typeof WindowFilm>;

export const NoFilmArea = z.strictObject({
  ...area,
  kind: NoFilmKind,
  /** Present for a window with a panel on its glass; absent: the glass stays bare. */
  windowFilm: WindowFilm.optional(),
  /** Width of the frame around the no-film area where no seam should end, because film lifts there first. */
  clearanceMm: lengthMm,
});
export type NoFilmArea = z.infer<typeof NoFilmArea>;

/** Position of one edge of a door's gap: y of the top and bottom, x of the two vertical ones. */
export const DoorEdge = z.strictObject({
  atMm: positionMm,
  /** Absent: it is straight. Points count from `atMm`; the edge ends where it meets its neighbors. */
  shape: LineShape.optional(),
});
export type DoorEdge = z.infer<typeof DoorEdge>;

/** How a door moves. */
export const DoorMotion = z.discriminatedUnion('kind', [
  /** It turns about this edge. */
  z.strictObject({ kind: z.literal('hinged'), at: z.enum(EDGES) }),
  /** It passes over the body beside it, or under the body as a pocket door or a roll-up door does. */
  z.strictObject({
    kind: z.literal('slides'),
    toward: z.enum(EDGES),
    byMm: positiveMm,
    passes: z.enum(['over', 'under']),
  }),
]);
export type DoorMotion = z.infer<typeof DoorMotion>;

/** A door, hatch or flap. Each edge of its gap acts as a body line, whose id is the door's id plus `-` and the edge. */
export const Door = z.strictObject({
  id,
  name,
  gap: z.strictObject({ top: DoorEdge, right: DoorEdge, bottom: DoorEdge, left: DoorEdge }),
  motion: DoorMotion,
  /** Id of the no-film area of this side that is its handle. */
  handle: id.optional(),
  /** Whether film wraps around its edges; if not, film ends at them. */
  isEdgeWrapped: z.boolean(),
});
export type Door = z.infer<typeof Door>;
