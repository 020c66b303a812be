import type { Rect } from '../../measure/rect.ts';
import { resultOk } from '../../measure/result.ts';
import type { Mm } from '../../measure/units.ts';
import type { FreshId } from '../fresh-id.ts';
import { rectAlong, regionsPlaced, splitPartRects } from '../region.ts';
import type { Job, Joint, Region, SplitRegion } from '../schema.ts';
import { type EditResult, sideEdited } from './edit.ts';

/**
 * Gives a side another layout, such as one that the planner made. Panels and seams that lie exactly where
 * one lay before keep its id, so notes and reprints still find them; all others get new ids, whatever ids
 * the given layout carries.
 */
export function layoutReplace(
  job: Job,
  { sideId, layout }: { readonly sideId: string; readonly layout: Region },
): EditResult {
  return sideEdited(job, sideId, ({ side, outline, fresh }) => {
    const known = idsByPlace(side.layout, outline);
    return resultOk({ ...side, layout: regionNamed(layout, outline, known, fresh) });
  });
}

function regionNamed(
  region: Region,
  rect: Rect<'finished'>,
  known: ReadonlyMap<string, string>,
  fresh: FreshId,
): Region {
  if (region.kind === 'panel') return { ...region, id: known.get(panelPlace(rect)) ?? fresh('p') };
  const rects = splitPartRects(region, rect);
  return {
    ...region,
    joints: region.joints.map((joint) => ({
      ...joint,
      id: known.get(seamPlace(joint, region, rect)) ?? fresh('j'),
    })),
    parts: region.parts.map((part, index) => regionNamed(part, rects[index]!, known, fresh)),
  };
}

/** Ids of panels and seams by what they occupy, a thousandth of a millimeter counting as the same place. */
function idsByPlace(layout: Region, outline: Rect<'finished'>): ReadonlyMap<string, string> {
  const ids = new Map<string, string>();
  for (const { region, rect } of regionsPlaced(layout, outline)) {
    if (region.kind === 'panel') ids.set(panelPlace(rect), region.id);
    else for (const joint of region.joints) ids.set(seamPlace(joint, region, rect), joint.id);
  }
  return ids;
}

const thousandths = (mm: Mm): number => Math.round(mm * 1000);

const panelPlace = ({ x, y, width, height }: Rect): string =>
  ['panel', ...[x, y, x + width, y + height].map(thousandths)].join(' ');

function seamPlace(joint: Joint, split: SplitRegion, rect: Rect<'finished'>): string {
  const { start, end } = rectAlong(rect, split.seams);
  return [split.seams, ...[joint.atMm, start, end].map(thousandths)].join(' ');
}
