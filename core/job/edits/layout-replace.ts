import { itemAt, valueAt } from '../../measure/present.ts';
import { type Rect, rectArea, rectIntersection } from '../../measure/rect.ts';
import { resultOk } from '../../measure/result.ts';
import type { Mm } from '../../measure/units.ts';
import type { FreshId } from '../fresh-id.ts';
import { type RegionPlace, rectAlong, regionsPlaced, regionWithPanels, splitPartPlaces } from '../region.ts';
import type { Job, Joint, PanelRegion, Region, SplitRegion } from '../schema.ts';
import { type EditResult, sideEdited } from './edit.ts';

/**
 * Gives a side another layout, such as a suggested one. A panel or seam at exactly the place of an earlier one keeps
 * its id, so that notes and reprints still refer to it. All others get new ids, regardless of the ids in the given
 * layout. Each panel gets the film that most of its area had.
 */
export function layoutReplace(
  job: Job,
  { sideId, layout }: { readonly sideId: string; readonly layout: Region },
): EditResult {
  return sideEdited(job, sideId, ({ side, outline, fresh }) => {
    const known = idsByPlace(side.layout, outline);
    const named = regionNamed(layout, { rect: outline }, known, fresh);
    return resultOk({ ...side, layout: regionOnFilms(named, side.layout, outline) });
  });
}

function regionNamed(
  region: Region,
  place: RegionPlace,
  known: ReadonlyMap<string, string>,
  fresh: FreshId,
): Region {
  if (region.kind === 'panel') return { ...region, id: known.get(panelPlace(place)) ?? fresh('p') };
  const places = splitPartPlaces(region, place);
  return {
    ...region,
    joints: region.joints.map((joint) => ({
      ...joint,
      id: known.get(seamPlace(joint, region, place)) ?? fresh('j'),
    })),
    parts: region.parts.map((part, index) => regionNamed(part, itemAt(places, index), known, fresh)),
  };
}

/** Fields of a panel that stay with its place. */
const PLACE_KEYS = ['filmId', 'installDay'] as const;
type OfPlace = Pick<PanelRegion, (typeof PLACE_KEYS)[number]>;

/** Each panel of the new layout gets the film and day of most of its area. */
function regionOnFilms(region: Region, before: Region, outline: Rect<'finished'>): Region {
  const old = regionsPlaced(before, outline).flatMap(({ region: panel, rect }) =>
    panel.kind === 'panel' ? [{ of: panel as OfPlace, rect }] : [],
  );
  const places = new Map(regionsPlaced(region, outline).map((placed) => [placed.region, placed.rect]));
  return regionWithPanels(region, (panel) => {
    const { kind, id } = panel;
    const found = PLACE_KEYS.flatMap((key) => {
      if (old.every(({ of }) => of[key] === undefined)) return [];
      const shares = new Map<OfPlace[typeof key], number>();
      for (const { of, rect } of old) {
        const shared = rectIntersection(rect, valueAt(places, panel));
        if (shared) shares.set(of[key], (shares.get(of[key]) ?? 0) + rectArea(shared));
      }
      const [most] = [...shares].toSorted(([, a], [, b]) => b - a);
      return most?.[0] === undefined ? [] : [[key, most[0]]];
    });
    return { kind, id, ...(Object.fromEntries(found) as OfPlace) };
  });
}

/** Ids of panels and seams by place; places within a thousandth of a millimeter are the same. */
function idsByPlace(layout: Region, outline: Rect<'finished'>): ReadonlyMap<string, string> {
  const ids = new Map<string, string>();
  for (const { region, ...place } of regionsPlaced(layout, outline)) {
    if (region.kind === 'panel') ids.set(panelPlace(place), region.id);
    else for (const joint of region.joints) ids.set(seamPlace(joint, region, place), joint.id);
  }
  return ids;
}

const thousandths = (mm: Mm): number => Math.round(mm * 1000);

function panelPlace({ rect, outline }: RegionPlace): string {
  const { x, y, width, height } = rect;
  const corners = outline?.points.flatMap((point) => [point.x, point.y]) ?? [x, y, x + width, y + height];
  return ['panel', ...corners.map(thousandths)].join(' ');
}

function seamPlace(joint: Joint, split: SplitRegion, { rect }: RegionPlace): string {
  const { start, end } = rectAlong(rect, split.seams);
  const shape = joint.shape?.flatMap(({ alongMm, offMm }) => [alongMm, offMm]) ?? [];
  return [split.seams, ...[joint.atMm, start, end, ...shape].map(thousandths)].join(' ');
}
