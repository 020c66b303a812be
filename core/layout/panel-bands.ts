/** The parts of a panel that are not visible after installation: cut off, tucked in, or covered. */
import { outlineFromEdges, polygonClipped } from '../measure/outline.ts';
import { pathMoved } from '../measure/path.ts';
import {
  EDGES,
  type Edge,
  type Point,
  type Rect,
  rectBottom,
  rectFromEdges,
  rectIntersection,
  rectRight,
} from '../measure/rect.ts';
import { filmFromFinished } from '../measure/spaces.ts';
import type { Mm } from '../measure/units.ts';
import type { Panel, PanelShape, SeamEdge } from './panel.ts';
import { squareShare } from './panel-edges.ts';

export type PanelBand =
  | { readonly kind: 'border'; readonly edge: Edge; readonly rect: Rect<'film'>; readonly widthMm: Mm }
  | {
      readonly kind: 'bleed';
      readonly edge: Edge;
      readonly rect: Rect<'film'>;
      /** For a panel with shape: the band itself; `rect` is its bounding rectangle. */
      readonly points?: readonly Point<'film'>[];
      readonly widthMm: Mm;
    }
  | {
      readonly kind: 'overlap' | 'wrap';
      readonly edge: Edge;
      readonly rect: Rect<'film'>;
      readonly points?: readonly Point<'film'>[];
      readonly widthMm: Mm;
      readonly lies: SeamEdge['lies'];
      readonly neighborIds: readonly string[];
    };

/**
 * The border all around, then at each edge the bleed, the overlap with the neighbor, or the part that wraps into a body
 * gap. Example: a panel of 1330 mm extends 15 mm past its right seam and has 25 mm printed overlap, so the overlap
 * begins 10 mm inside the seam.
 */
export function panelBands(panel: Panel): readonly PanelBand[] {
  const toFilm = filmFromFinished(panel.film);
  const film = toFilm.rect(panel.film);
  const printed = toFilm.rect(panel.printed);
  const net = toFilm.rect(panel.net);
  return [
    ...EDGES.flatMap((edge) => bandAt('border', edge, film, edgeDistance(film, printed, edge))),
    ...EDGES.flatMap((edge): readonly PanelBand[] => {
      const at = panel.edges[edge];
      if (panel.shape) return shapedBand(panel, panel.shape, edge);
      const outward = edgeDistance(printed, net, edge);
      if (at.kind === 'outer') return bandAt('bleed', edge, printed, outward);
      if (at.joint === 'butt') return [];
      const isWrap = at.lies === 'apart';
      const widthMm = isWrap ? outward : Math.max(0, at.overlapMm - at.allowanceMm) + outward;
      const rect = bandRect(printed, edge, widthMm);
      return rect
        ? [
            {
              kind: isWrap ? 'wrap' : 'overlap',
              edge,
              rect,
              widthMm,
              lies: at.lies,
              neighborIds: at.neighbors.map(({ panelId }) => panelId),
            },
          ]
        : [];
    }),
  ];
}

/** For a panel with shape: from the needed outline in to where the neighbor ends, or to the edge itself. */
function shapedBand(
  { film, printed, edges }: Panel,
  { edges: paths, needed }: PanelShape,
  edge: Edge,
): readonly PanelBand[] {
  const at = edges[edge];
  if (at.kind === 'seam' && at.joint === 'butt') return [];
  const outward = edge === 'top' || edge === 'left' ? -1 : 1;
  const share = squareShare(paths[edge], needed.spans[edge]);
  const inMm = at.kind === 'seam' && at.lies !== 'apart' ? Math.max(0, at.overlapMm - at.allowanceMm) : 0;
  const opposite = ({ top: 'bottom', right: 'left', bottom: 'top', left: 'right' } as const)[edge];
  const area = outlineFromEdges({
    ...needed.edges,
    [opposite]: pathMoved(paths[edge], { across: (-outward * inMm) / share }),
  });
  const widthMm = at.allowanceMm + inMm;
  if (!area || widthMm <= 0) return [];
  const toFilm = filmFromFinished(film);
  const points = polygonClipped(area.points, printed).map((point) =>
    toFilm.point(point as Point<'finished'>),
  );
  const common = { edge, rect: toFilm.rect(area.rect), points, widthMm };
  if (at.kind === 'outer') return [{ kind: 'bleed', ...common }];
  return [
    {
      kind: at.lies === 'apart' ? 'wrap' : 'overlap',
      ...common,
      lies: at.lies,
      neighborIds: at.neighbors.map(({ panelId }) => panelId),
    },
  ];
}

function bandAt(
  kind: 'border' | 'bleed',
  edge: Edge,
  outer: Rect<'film'>,
  widthMm: Mm,
): readonly PanelBand[] {
  const rect = bandRect(outer, edge, widthMm);
  return rect ? [{ kind, edge, rect, widthMm }] : [];
}

/** Distance of `inner` inside `outer` at an edge. */
function edgeDistance(outer: Rect, inner: Rect, edge: Edge): Mm {
  switch (edge) {
    case 'top':
      return inner.y - outer.y;
    case 'left':
      return inner.x - outer.x;
    case 'right':
      return rectRight(outer) - rectRight(inner);
    case 'bottom':
      return rectBottom(outer) - rectBottom(inner);
  }
}

/** The strip along an edge of `outer`, `widthMm` wide; undefined where the width is zero. */
function bandRect(outer: Rect<'film'>, edge: Edge, widthMm: Mm): Rect<'film'> | undefined {
  if (widthMm <= 0) return undefined;
  const { x, y } = outer;
  const [right, bottom] = [rectRight(outer), rectBottom(outer)];
  const strip = {
    top: rectFromEdges<'film'>(x, y, right, y + widthMm),
    right: rectFromEdges<'film'>(right - widthMm, y, right, bottom),
    bottom: rectFromEdges<'film'>(x, bottom - widthMm, right, bottom),
    left: rectFromEdges<'film'>(x, y, x + widthMm, bottom),
  }[edge];
  return rectIntersection(strip, outer);
}
