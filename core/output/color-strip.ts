/**
 * The color strip of a reprint: a piece of a panel along a seam, printed before the panels. Held against a panel that
 * stays on the vehicle, it shows whether the colors match before film is spent.
 */
import type { Job } from '../job/schema.ts';
import { rectFromStored } from '../job/stored-rect.ts';
import type { Panel } from '../layout/panel.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import { type Interval, intervalLength } from '../measure/interval.ts';
import { pathRange } from '../measure/path.ts';
import { firstOf } from '../measure/present.ts';
import {
  EDGES,
  type Edge,
  edgeLengthsAll,
  type Rect,
  rectBottom,
  rectGrown,
  rectIntersection,
  rectRight,
} from '../measure/rect.ts';
import { MM_PER_INCH, type Mm } from '../measure/units.ts';

/** Size along the seam, and from the printed edge into the panel. */
export const COLOR_STRIP_SIZE = {
  mm: { alongMm: 300, depthMm: 100 },
  in: { alongMm: 12 * MM_PER_INCH, depthMm: 4 * MM_PER_INCH },
} as const satisfies Readonly<Record<Job['displayUnit'], { readonly alongMm: Mm; readonly depthMm: Mm }>>;

/** Step between the places tried along a seam. */
const STEP_MM: Mm = 25;

export interface ColorStrip {
  readonly layout: SideLayout;
  readonly panel: Panel;
  /** The edge of the panel where the strip begins. */
  readonly edge: Edge;
  /** The panel to compare with, which stays on the vehicle. Absent where all neighbors are reprinted too. */
  readonly neighbor?: Panel;
  readonly printed: Rect<'finished'>;
  /** The same with its border. */
  readonly film: Rect<'finished'>;
}

/** `STRIP LH-03` */
export const colorStripLabel = ({ panel }: ColorStrip): string => `STRIP ${panel.label}`;

/** A neighbor that stays on the vehicle takes precedence over a longer shared edge. Keeps RP6. */
export function colorStrip(
  job: Job,
  layouts: readonly SideLayout[],
  reprintedIds: ReadonlySet<string>,
): ColorStrip | undefined {
  const places = layouts.flatMap((layout) =>
    layout.panels
      .filter(({ id }) => reprintedIds.has(id))
      .flatMap((panel) => meetings(layout, panel, reprintedIds)),
  );
  const rank = ({ neighbor }: Meeting) => (neighbor ? 1 : 0);
  const [best] = places.toSorted((a, b) => rank(b) - rank(a) || length(b) - length(a));
  if (!best) return undefined;
  const { layout, panel, edge, neighbor } = best;
  const printed = printedPart(job, best);
  const film = rectGrown(printed, edgeLengthsAll(job.output.borderMm));
  return { layout, panel, edge, ...(neighbor && { neighbor }), printed, film };
}

interface Meeting {
  readonly layout: SideLayout;
  readonly panel: Panel;
  readonly edge: Edge;
  readonly neighbor?: Panel;
  /** Along the edge, in finished mm. */
  readonly from: Mm;
  readonly to: Mm;
}

const length = ({ from, to }: Meeting): Mm => to - from;

/** Edges where the panel meets others; its outer edges where there are none. */
function meetings(layout: SideLayout, panel: Panel, reprintedIds: ReadonlySet<string>): Meeting[] {
  const seams = EDGES.flatMap((edge): Meeting[] => {
    const at = panel.edges[edge];
    if (at.kind !== 'seam') return [];
    return at.neighbors
      .filter(({ along }) => intervalLength(along) > 0)
      .map(({ panelId, along }) => {
        const staying = reprintedIds.has(panelId)
          ? undefined
          : layout.panels.find(({ id }) => id === panelId);
        const part = { layout, panel, edge, from: along.start, to: along.end };
        return staying ? { ...part, neighbor: staying } : part;
      });
  });
  if (seams.length > 0) return seams;
  return EDGES.map((edge) => {
    const { net } = panel;
    const [from, to] = isUpright(edge) ? [net.y, rectBottom(net)] : [net.x, rectRight(net)];
    return { layout, panel, edge, from, to };
  });
}

const isUpright = (edge: Edge): boolean => edge === 'left' || edge === 'right';

/** The middle of the stretch, or the nearest place clear of no-film areas. */
function printedPart(job: Job, meeting: Meeting): Rect<'finished'> {
  const { layout, from, to } = meeting;
  const along = Math.min(COLOR_STRIP_SIZE[job.displayUnit].alongMm, to - from);
  const middle = (from + to - along) / 2;
  const steps = Math.floor((to - from - along) / 2 / STEP_MM);
  const starts = [0, ...Array.from({ length: steps }, (_, i) => [i + 1, -i - 1]).flat()].map(
    (step) => middle + step * STEP_MM,
  );
  const rects = starts.map((start) => rectAt(job, meeting, start, along));
  const isFree = (rect: Rect<'finished'>) =>
    layout.side.noFilmAreas.every((area) => !rectIntersection(rect, rectFromStored<'finished'>(area.rect)));
  return rects.find(isFree) ?? firstOf(rects);
}

function rectAt(job: Job, { panel, edge }: Meeting, start: Mm, along: Mm): Rect<'finished'> {
  const { depthMm } = COLOR_STRIP_SIZE[job.displayUnit];
  const { printed } = panel;
  const at = printedEdge(panel, edge, { start, end: start + along });
  if (isUpright(edge)) {
    const x = edge === 'left' ? at : Math.max(printed.x, at - depthMm);
    const right = edge === 'left' ? Math.min(rectRight(printed), at + depthMm) : at;
    return { x, y: start, width: right - x, height: along };
  }
  const y = edge === 'top' ? at : Math.max(printed.y, at - depthMm);
  const bottom = edge === 'top' ? Math.min(rectBottom(printed), at + depthMm) : at;
  return { x: start, y, width: along, height: bottom - y };
}

/** Position of the needed film's edge; for an edge with shape, its outermost place in this stretch. */
function printedEdge({ printed, shape }: Panel, edge: Edge, stretch: Interval): Mm {
  const isFirst = edge === 'left' || edge === 'top';
  const [first, last] = isUpright(edge) ? [printed.x, rectRight(printed)] : [printed.y, rectBottom(printed)];
  if (!shape) return isFirst ? first : last;
  const { start, end } = pathRange(shape.needed.edges[edge], stretch);
  return isFirst ? Math.max(first, start) : Math.min(last, end);
}
