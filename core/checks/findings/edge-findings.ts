import { type Finding, finding, withFigure } from '../../findings/finding.ts';
import { decimalText } from '../../measure/length-text.ts';
import { listText } from '../../measure/list-text.ts';
import {
  EDGES,
  type Edge,
  edgeLengthsAll,
  type Rect,
  rectBottom,
  rectExcess,
  rectGrown,
  rectRight,
} from '../../measure/rect.ts';
import type { Mm } from '../../measure/units.ts';
import { areaOnSide, areaPrinted, placeOnSide, type SideCheck } from '../check-context.ts';
import { type EdgeSample, edgeSamples, type Paint, paintedShare } from '../painted-edge.ts';

/** What is missing at one edge of a side. */
interface EdgeLack {
  readonly edge: Edge;
  readonly mm: Mm;
  /** Share of the edge's length. */
  readonly share: number;
}

/** Below this share of an edge's length, missing paint is accidental: a rounded corner, a leaf. */
const MIN_SHORT_SHARE = 0.03;
/** A bare edge also leaves the ends of its neighbors bare. */
const MIN_BARE_SHARE = 0.1;

/**
 * Paint that ends before its bleed does, and edges where there is none. Whether the page itself ends too early is
 * in the findings of the layout; this looks at what is painted on it.
 * Keeps AC15.
 */
export function edgeFindings(check: SideCheck): Finding[] {
  const { page, layout, side, limits, length } = check;
  if (!page.paint.isComplete) return [];
  const paint = paintOnSide(check);
  const edges = EDGES.map((edge) => ({ edge, samples: edgeSamples(layout.outline, edge, paint) }));
  const short = edges.flatMap(({ edge, samples }) => shortOf(check, edge, samples));
  const bare = edges.flatMap(({ edge, samples }) => bareAt(check, edge, samples));
  const share = 100 * paintedShare(layout.outline, paint);
  return [
    ...(short.length > 0
      ? [
          withFigure(
            Math.max(...short.map(({ mm }) => mm)),
            finding(
              'bleed-short',
              'warn',
              placeOnSide(check, stripBeyond(check, worstOf(short).edge)),
              `The paint of side ${side.code} ends before its bleed does: at least ${listText(short.map((lack) => `${length(lack.mm)} short ${lackText(lack)}`))}.`,
              'Ask for artwork that extends past these edges, or give them less bleed.',
            ),
          ),
        ]
      : []),
    ...(bare.length > 0
      ? [
          finding(
            'edge-bare',
            'note',
            placeOnSide(check, stripWithin(check, worstOf(bare))),
            `Side ${side.code} is white or unpainted along its edge, so there is nothing to bleed: ${listText(bare.map((lack) => lackText(lack)))}.`,
            'Check that bare film is meant there, and that the art is not drawn too small.',
          ),
        ]
      : []),
    ...(share < limits.minPaintedPercent
      ? [
          finding(
            'side-not-filled',
            'note',
            placeOnSide(check),
            `About ${decimalText(100 - share, 0)} % of side ${side.code} is white or unpainted.`,
            'Check that the art is meant to leave so much film bare, and that the side is placed on all of it.',
          ),
        ]
      : []),
  ];
}

function paintOnSide(check: SideCheck): Paint[] {
  return check.page.paint.areas.flatMap(({ area, isWhite }) =>
    areaPrinted(check, area) ? [{ area: areaOnSide(check, area), isWhite }] : [],
  );
}

/** Where the art is painted up to the edge and stops in the bleed. Bleed beyond the page is ignored. */
function shortOf(
  { side, layout, limits, printed }: SideCheck,
  edge: Edge,
  samples: readonly EdgeSample[],
): EdgeLack[] {
  const beyondPage = layout.artwork ? rectExcess(printed, layout.artwork)[edge] : 0;
  const wanted = side.bleed[edge] - beyondPage;
  const short = samples.filter(
    ({ isPainted, reachMm }) => isPainted && wanted - reachMm > limits.bleedSlackMm,
  );
  const share = short.length / samples.length;
  if (share < MIN_SHORT_SHARE) return [];
  return [{ edge, share, mm: Math.max(...short.map(({ reachMm }) => wanted - reachMm)) }];
}

function bareAt({ limits }: SideCheck, edge: Edge, samples: readonly EdgeSample[]): EdgeLack[] {
  const bare = samples.filter(({ bareMm }) => bareMm > limits.bleedSlackMm);
  const share = bare.length / samples.length;
  if (share < MIN_BARE_SHARE) return [];
  return [{ edge, share, mm: Math.min(...bare.map(({ bareMm }) => bareMm)) }];
}

/** The edge to name where several lack paint: the one that lacks it along most of its length. */
const worstOf = (lacks: readonly EdgeLack[]): EdgeLack =>
  lacks.reduce((worst, lack) => (lack.share > worst.share ? lack : worst));

/** The strip of bleed along an edge. */
function stripBeyond({ layout: { outline }, side }: SideCheck, edge: Edge): Rect<'finished'> {
  return rectBetween(outline, rectGrown(outline, { ...NO_EDGES, [edge]: side.bleed[edge] }), edge);
}

/** The strip along an edge that is surely bare. */
function stripWithin({ layout: { outline } }: SideCheck, { edge, mm }: EdgeLack): Rect<'finished'> {
  return rectBetween(rectGrown(outline, { ...NO_EDGES, [edge]: -mm }), outline, edge);
}

const NO_EDGES = edgeLengthsAll(0);

/** The area between two rectangles that differ in one edge only. */
function rectBetween(inner: Rect<'finished'>, outer: Rect<'finished'>, edge: Edge): Rect<'finished'> {
  switch (edge) {
    case 'top':
      return { ...outer, height: inner.y - outer.y };
    case 'left':
      return { ...outer, width: inner.x - outer.x };
    case 'bottom':
      return { ...outer, y: rectBottom(inner), height: rectBottom(outer) - rectBottom(inner) };
    case 'right':
      return { ...outer, x: rectRight(inner), width: rectRight(outer) - rectRight(inner) };
  }
}

/** `at the top`, `along about 40 % of the left` */
const lackText = ({ edge, share }: EdgeLack): string =>
  share > 0.995 ? `at the ${edge}` : `along about ${decimalText(100 * share, 0)} % of the ${edge}`;
