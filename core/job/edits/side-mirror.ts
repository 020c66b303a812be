import { itemAt, valueAt } from '../../measure/present.ts';
import { EDGES } from '../../measure/rect.ts';
import { resultOk } from '../../measure/result.ts';
import type { Mm } from '../../measure/units.ts';
import { shapeMirrored } from '../../vehicle/ground-depth.ts';
import { type AreaShape, areaLength, areaMapped } from '../area-shape.ts';
import { lineShapeMirrored } from '../body-line.ts';
import { doorLineId, doorMirrored, edgeMirrored } from '../door.ts';
import type { FreshId } from '../fresh-id.ts';
import { regionWithJoints } from '../region.ts';
import type { BodyLine, Ground, Job, Joint, Region, Side } from '../schema.ts';
import { sideOutline } from '../side-outline.ts';
import { type EditResult, editProblem, sideEdited, sideUnknown } from './edit.ts';

/**
 * Copies the layout with its films, body lines, areas and no-film areas of one side to the opposite side, mirrored.
 * Distances are kept from the front edge, where both sides of a vehicle agree; without a front, from the left edge.
 * Panels, seams and items of the receiving side are replaced; all get new ids. Its artwork, bleed, measurements and
 * front stay. Keeps MIR1.
 */
export function sideMirror(
  job: Job,
  { fromSideId, toSideId }: { readonly fromSideId: string; readonly toSideId: string },
): EditResult {
  const from = job.sides.find(({ id }) => id === fromSideId);
  if (!from) return sideUnknown(fromSideId);
  if (fromSideId === toSideId) {
    return editProblem(
      'mirror-onto-itself',
      `Side ${from.code} cannot be mirrored onto itself.`,
      'Select the opposite side.',
    );
  }
  return sideEdited(job, toSideId, ({ side, outline, fresh }) => {
    // A point at x from the left edge moves to axis − x.
    const axis = from.front === 'right' ? sideOutline(from, job.scale).width : outline.width;
    const { filmId: _, installDay: __, ...own } = side;
    const film = {
      ...(from.filmId !== undefined && { filmId: from.filmId }),
      ...(from.installDay !== undefined && { installDay: from.installDay }),
    };
    return resultOk({ ...own, ...film, ...sideContentMirrored(from, axis, fresh) });
  });
}

type SideContent = Pick<
  Side,
  'layout' | 'bodyLines' | 'noSeamAreas' | 'ground' | 'noFilmAreas' | 'doors' | 'guides'
>;

function sideContentMirrored(from: SideContent, axis: Mm, fresh: FreshId): SideContent {
  const bodyLines = from.bodyLines.map((line) => ({ ...bodyLineMirrored(line, axis), id: fresh('b') }));
  const noFilmAreas = from.noFilmAreas.map((area) => ({ ...areaMirrored(area, axis), id: fresh('o') }));
  const areaIds = new Map(from.noFilmAreas.map(({ id }, index) => [id, itemAt(noFilmAreas, index).id]));
  const lineIds = new Map(from.bodyLines.map(({ id }, index) => [id, itemAt(bodyLines, index).id]));
  const doors = from.doors?.map((door) => {
    const id = fresh('d');
    for (const edge of EDGES) lineIds.set(doorLineId(door.id, edge), doorLineId(id, edgeMirrored(edge)));
    const handle = door.handle === undefined ? {} : { handle: valueAt(areaIds, door.handle) };
    return { ...doorMirrored(door, axis), id, ...handle };
  });
  return {
    layout: regionWithJoints(regionMirrored(from.layout, axis, fresh), (joint) =>
      joint.follows === undefined ? joint : { ...joint, follows: valueAt(lineIds, joint.follows) },
    ),
    bodyLines,
    noSeamAreas: from.noSeamAreas.map((area) => ({ ...areaMirrored(area, axis), id: fresh('k') })),
    ground: from.ground.map((area) => ({ ...groundMirrored(area, axis), id: fresh('h') })),
    noFilmAreas,
    ...(doors && { doors }),
    ...(from.guides && {
      guides: from.guides.map((line) => ({
        ...line,
        id: fresh('g'),
        atMm: line.direction === 'vertical' ? axis - line.atMm : line.atMm,
      })),
    }),
  };
}

/** A profile along the width is reversed. */
export const groundMirrored = <T extends Omit<Ground, 'id'>>(ground: T, axis: Mm): T => ({
  ...areaMirrored(ground, axis),
  ...(ground.depth &&
    ground.depth.along !== 'height' && {
      depth: { ...ground.depth, shape: shapeMirrored(ground.depth.shape, areaLength(ground, 'width')) },
    }),
});

export const areaMirrored = <T extends AreaShape>(area: T, axis: Mm): T =>
  areaMapped(area, ({ x, y }) => ({ x: axis - x, y }));

/** Position, extent and shape of a mirrored line. */
export function bodyLineMirrored<T extends Omit<BodyLine, 'id'>>(line: T, axis: Mm): T {
  const { direction, atMm, extent, shape } = line;
  const turned = shape ? { ...line, shape: lineShapeMirrored(shape, direction, axis) } : line;
  if (direction === 'vertical') return { ...turned, atMm: axis - atMm };
  return extent ? { ...turned, extent: { fromMm: axis - extent.toMm, toMm: axis - extent.fromMm } } : turned;
}

/** Vertical seams change order, position and sides; horizontal ones change only their shape. */
export function regionMirrored(region: Region, axis: Mm, fresh: FreshId): Region {
  if (region.kind === 'panel') return { ...region, id: fresh('p') };
  const isVertical = region.seams === 'vertical';
  const joints = region.joints.map((joint): Joint => {
    const turned = isVertical ? jointMirrored(joint, axis) : joint;
    const shape = joint.shape && lineShapeMirrored(joint.shape, region.seams, axis);
    return { ...turned, ...(shape && { shape }), id: fresh('j') };
  });
  const parts = region.parts.map((part) => regionMirrored(part, axis, fresh));
  return isVertical
    ? { ...region, joints: joints.reverse(), parts: parts.reverse() }
    : { ...region, joints, parts };
}

const jointMirrored = (joint: Joint, axis: Mm): Joint => ({
  ...joint,
  atMm: axis - joint.atMm,
  firstMm: joint.secondMm,
  secondMm: joint.firstMm,
  top: joint.top === 'first' ? 'second' : 'first',
});
