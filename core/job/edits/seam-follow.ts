/** Seams that follow a body line: they have its shape, and move and bend with it. */
import { lengthText } from '../../measure/length-text.ts';
import { pathMean, pathsDistance } from '../../measure/path.ts';
import { resultOk } from '../../measure/result.ts';
import type { Mm } from '../../measure/units.ts';
import { doorLines, kindMoved, sideLines } from '../door.ts';
import { linePath } from '../line-path.ts';
import {
  rectAlong,
  regionJoints,
  regionsPlaced,
  regionWithJoints,
  splitEdges,
  splitPartPlaces,
} from '../region.ts';
import type { BodyLine, Job, Joint, Region, Side } from '../schema.ts';
import { seamInSplit } from '../seam-range.ts';
import { type EditResult, editProblem, seamUnknown, sideEdited } from './edit.ts';

/**
 * The layout of a side whose lines or doors changed, with the seams that follow them updated; where a line was removed,
 * they keep its shape as a copy.
 */
export function layoutWithLines(before: Side, after: Side): Region {
  const [lines, changed] = [sideLines(before), sideLines(after)];
  return regionWithJoints(after.layout, (joint) => {
    const from = lines.find(({ id }) => id === joint.follows);
    const to = changed.find(({ id }) => id === joint.follows);
    if (!from || from === to) return joint;
    const { follows: _, ...free } = joint;
    return to ? jointOnLine(joint, to, joint.atMm - from.atMm) : free;
  });
}

/** The shaped seams that follow a line of a side or an edge of a door. */
export function seamsFollowing(side: Side, itemId: string): readonly Joint[] {
  const door = side.doors?.find(({ id }) => id === itemId);
  const lineIds = door ? doorLines(door).map(({ id }) => id) : [itemId];
  return regionJoints(side.layout).filter(
    ({ follows, shape }) => shape && follows !== undefined && lineIds.includes(follows),
  );
}

function jointOnLine({ shape: _, ...joint }: Joint, line: BodyLine, offsetMm: Mm): Joint {
  return {
    ...joint,
    atMm: line.atMm + offsetMm,
    follows: line.id,
    ...(line.shape && { shape: line.shape }),
  };
}

interface SeamOfSide {
  readonly sideId: string;
  readonly seamId: string;
}

/**
 * Lets a seam follow a body line of its direction, `offsetMm` right of or below it. Rejected where a panel would become
 * narrower than the shop’s smallest panel. Keeps LIN8.
 */
export function seamFollow(
  job: Job,
  { sideId, seamId, lineId, offsetMm = 0 }: SeamOfSide & { readonly lineId: string; readonly offsetMm?: Mm },
): EditResult {
  return sideEdited(job, sideId, ({ side, outline }) => {
    const found = seamInSplit(side.layout, outline, seamId);
    const line = sideLines(side).find(({ id }) => id === lineId);
    if (!found) return seamUnknown(side, seamId);
    if (line?.direction !== found.split.seams) {
      return editProblem(
        'item-unknown',
        `Side ${side.code} has no ${found.split.seams} body line “${lineId}” that the seam could follow.`,
        'Select a body line that runs the way of the seam.',
      );
    }
    const { joint, span } = found;
    const following = jointOnLine(joint, line, offsetMm);
    const kind = kindMoved(side, { direction: found.split.seams, joint, span }, following);
    const layout = regionWithJoints(side.layout, (each) =>
      each.id === seamId ? { ...following, kind } : each,
    );
    const least = narrowestBeside(layout, outline, seamId);
    const { minPanelMm } = job.limits;
    if (least !== undefined && least < minPanelMm) {
      const shown = (mm: Mm) => lengthText(mm, job.displayUnit);
      return editProblem(
        'seam-outside-region',
        `Along “${line.name}” the seam would leave a panel ${shown(Math.max(0, least))} at its narrowest, and ${shown(minPanelMm)} is the least.`,
        'Move the seam or edge beside it first, or follow another line.',
      );
    }
    return resultOk({ ...side, layout });
  });
}

/** The narrowest width of the two parts at a seam. */
function narrowestBeside(
  layout: Region,
  outline: Parameters<typeof regionsPlaced>[1],
  seamId: string,
): Mm | undefined {
  for (const { region, ...place } of regionsPlaced(layout, outline)) {
    if (region.kind === 'panel') continue;
    const index = region.joints.findIndex(({ id }) => id === seamId);
    if (index === -1) continue;
    const [first, last] = splitEdges(region.seams);
    const widths = splitPartPlaces(region, place)
      .slice(index, index + 2)
      .flatMap(({ rect, edges }) =>
        edges ? [pathsDistance(edges[first], edges[last], rectAlong(rect, region.seams))] : [],
      );
    return widths.length > 0 ? Math.min(...widths) : undefined;
  }
  return undefined;
}

/** Stops a seam from following its line: it keeps the shape as a copy, or becomes straight at its mean. */
export function seamUnfollow(
  job: Job,
  { sideId, seamId, keeps }: SeamOfSide & { readonly keeps: 'shape' | 'mean' },
): EditResult {
  return sideEdited(job, sideId, ({ side, outline }) => {
    const found = seamInSplit(side.layout, outline, seamId);
    if (!found) return seamUnknown(side, seamId);
    const layout = regionWithJoints(side.layout, (joint) => {
      if (joint.id !== seamId) return joint;
      const { follows: _, ...free } = joint;
      if (keeps === 'shape') return free;
      const { shape: __, ...straight } = free;
      return { ...straight, atMm: pathMean(linePath(joint), found.span) };
    });
    return resultOk({ ...side, layout });
  });
}
