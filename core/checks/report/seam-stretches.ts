/** Which stretch of each seam to look at first: where it crosses lettering or a no-seam area. */
import { seamName, sideContext } from '../../findings/layout/finding-context.ts';
import type { Job, NoSeamArea } from '../../job/schema.ts';
import type { Seam } from '../../layout/panel.ts';
import { seamWithinArea } from '../../layout/seam-line-place.ts';
import type { SideLayout } from '../../layout/side-layout.ts';
import { letteringCrossings } from '../../lettering/lettering-crossing.ts';
import { type Interval, intervalIntersection, intervalLength } from '../../measure/interval.ts';
import { sentence } from '../../measure/list-text.ts';
import type { Mm } from '../../measure/units.ts';
import type { SeamStretch } from '../../sheets/seam-sheet.ts';
import type { ArtworkScan } from '../scan/schema.ts';
import { sideLettering } from '../side-lettering.ts';
import { viewingDistance } from '../viewing-distance.ts';

/** Something that a seam crosses. */
interface Crossed {
  readonly along: Interval;
  readonly name: string;
  /** A no-seam area counts more than lettering, and lettering counts by the cost of cutting it. */
  readonly weight: number;
}

/** SL3 One stretch of each seam where two panels meet, sides in order. Sides without a page have none. */
export function seamStretches(
  job: Job,
  layouts: readonly SideLayout[],
  scan: ArtworkScan | undefined,
): SeamStretch[] {
  return layouts.flatMap((layout) => {
    const { side, seams } = layout;
    if (side.page === undefined) return [];
    const context = sideContext(job, layout, {});
    return seams
      .filter(({ firstPanelIds, secondPanelIds }) => firstPanelIds.length > 0 && secondPanelIds.length > 0)
      .map((seam): SeamStretch => {
        const place = stretchPlace(seam, layout, crossedBy(job, layout, seam, scan));
        return {
          layout,
          seam,
          name: sentence(seamName(context, seam)),
          distanceMm: viewingDistance(side),
          ...place,
        };
      });
  });
}

function crossedBy(
  job: Job,
  { side }: SideLayout,
  seam: Seam,
  scan: ArtworkScan | undefined,
): readonly Crossed[] {
  const page = scan?.pages.find(({ number }) => number === side.page);
  const areas = side.noSeamAreas.flatMap((area: NoSeamArea) =>
    seamWithinArea(seam, area).map((along): Crossed => ({ along, name: `“${area.name}”`, weight: 2 })),
  );
  const met = page ? letteringCrossings(sideLettering(job, side, page), seam) : [];
  const lettering = met.flatMap(({ lettering: { rect, text }, costShare }): Crossed[] => {
    const [start, length] = seam.direction === 'vertical' ? [rect.y, rect.height] : [rect.x, rect.width];
    const along = intervalIntersection({ start, end: start + length }, seam.span);
    const name = text === undefined ? 'what looks like lettering' : `“${text.trim()}”`;
    return along ? [{ along, name, weight: costShare }] : [];
  });
  return [...areas, ...lettering];
}

/** The crossing with the greatest weight where there is film; else the middle of the longest stretch with film. */
function stretchPlace(
  seam: Seam,
  { side }: SideLayout,
  crossed: readonly Crossed[],
): { readonly alongMm: Mm; readonly crosses?: string } {
  const bare = side.noFilmAreas
    .filter(({ windowFilm }) => !windowFilm)
    .flatMap((area) => seamWithinArea(seam, area))
    .toSorted((a, b) => a.start - b.start);
  const free = withoutStretches(seam.span, bare);
  const seen = crossed
    .flatMap(({ along, ...each }) =>
      free.flatMap((part) => {
        const shared = intervalIntersection(along, part);
        return shared ? [{ ...each, along: shared }] : [];
      }),
    )
    .toSorted((a, b) => b.weight - a.weight || a.along.start - b.along.start);
  const [first] = seen;
  if (first) return { alongMm: middle(first.along), crosses: first.name };
  const longest = free.toSorted((a, b) => intervalLength(b) - intervalLength(a))[0] ?? seam.span;
  return { alongMm: middle(longest) };
}

const middle = ({ start, end }: Interval): Mm => (start + end) / 2;

/** The rest of a stretch; `taken` is sorted by start. */
function withoutStretches(whole: Interval, taken: readonly Interval[]): Interval[] {
  const left: Interval[] = [];
  let from = whole.start;
  for (const { start, end } of taken) {
    if (start > from) left.push({ start: from, end: start });
    from = Math.max(from, end);
  }
  if (from < whole.end) left.push({ start: from, end: whole.end });
  return left;
}
