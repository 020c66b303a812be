import { type Item, MEDIUM, PAPER, type RasterPicture, THICK, THIN } from '../../drawing/drawing.ts';
import type { FontMetrics } from '../../drawing/font-library.ts';
import { styleOf, textLine } from '../../drawing/text-block.ts';
import type { SideLayout } from '../../layout/side-layout.ts';
import { type Rect, rectBottom, rectGrown, rectRight } from '../../measure/rect.ts';
import type { Mm } from '../../measure/units.ts';
import { largestScale } from '../../sheets/sheet-scale.ts';
import type { NumberedFinding } from './numbered-finding.ts';

const NUMBER_RADIUS_MM: Mm = 3;
const NUMBER_STYLE = styleOf('bold', 3.6);
/** A frame of this size is visible around a speck. */
const LEAST_FRAME_MM: Mm = 1;
const TAG = 'check picture';

export interface ReportPicture {
  readonly oneTo: number;
  readonly heightMm: Mm;
  draw(xMm: Mm, yMm: Mm): Item[];
}

/**
 * The side with its bleed at the largest standard scale that fits, with a numbered frame around each place that a
 * finding names. Numbers are at the top left corner of their frame, side by side where they would overlap.
 */
export function reportPicture(
  { outline, side }: Pick<SideLayout, 'outline' | 'side'>,
  findings: readonly NumberedFinding[],
  picture: RasterPicture | undefined,
  room: { readonly width: Mm; readonly height: Mm },
  fonts: FontMetrics,
): ReportPicture {
  const printed = rectGrown(outline, side.bleed);
  const edge = 2 * NUMBER_RADIUS_MM;
  const fits = (oneTo: number) =>
    printed.width / oneTo + 2 * edge <= room.width && printed.height / oneTo + 2 * edge <= room.height;
  const oneTo = largestScale(fits);
  const heightMm = printed.height / oneTo + 2 * edge;
  return {
    oneTo,
    heightMm,
    draw(xMm, yMm) {
      const onPaper = (rect: Rect): Rect => ({
        x: xMm + edge + (rect.x - printed.x) / oneTo,
        y: yMm + edge + (rect.y - printed.y) / oneTo,
        width: rect.width / oneTo,
        height: rect.height / oneTo,
      });
      const items: Item[] = [];
      if (picture) {
        items.push({ kind: 'picture', tag: TAG, rect: onPaper(outline), picture, isFaint: true });
      }
      items.push({ kind: 'rect', tag: TAG, rect: onPaper(printed), stroke: { ...THIN, dashMm: [2, 1] } });
      items.push({ kind: 'rect', tag: TAG, rect: onPaper(outline), stroke: THICK });
      return [...items, ...framedPlaces(findings, onPaper, onPaper(printed), fonts)];
    },
  };
}

function framedPlaces(
  findings: readonly NumberedFinding[],
  onPaper: (rect: Rect) => Rect,
  bounds: Rect,
  fonts: FontMetrics,
): Item[] {
  const taken: { x: Mm; y: Mm }[] = [];
  const frames = findings.flatMap(({ number, finding }) =>
    finding.where.area ? [{ number, frame: frameAround(onPaper(finding.where.area), bounds) }] : [],
  );
  const drawn = frames.map(({ frame }): Item => ({ kind: 'rect', tag: TAG, rect: frame, stroke: MEDIUM }));
  // Numbers are drawn last, so that no frame runs through them.
  const numbers = frames.flatMap(({ number, frame }): Item[] => {
    const center = freePlace(frame, taken, bounds);
    taken.push(center);
    return [
      { kind: 'circle', tag: TAG, center, radiusMm: NUMBER_RADIUS_MM, fill: PAPER, stroke: THIN },
      textLine(fonts, String(number), NUMBER_STYLE, {
        at: { x: center.x, y: center.y + NUMBER_STYLE.sizeMm * 0.36 },
        anchor: 'middle',
        tag: TAG,
      }),
    ];
  });
  return [...drawn, ...numbers];
}

/** The place within the picture, enlarged so that it is visible. */
function frameAround(place: Rect, bounds: Rect): Rect {
  const x = Math.max(bounds.x, Math.min(place.x, rectRight(bounds)));
  const y = Math.max(bounds.y, Math.min(place.y, rectBottom(bounds)));
  return {
    x,
    y,
    width: Math.max(LEAST_FRAME_MM, Math.min(rectRight(place), rectRight(bounds)) - x),
    height: Math.max(LEAST_FRAME_MM, Math.min(rectBottom(place), rectBottom(bounds)) - y),
  };
}

/** Next to the numbers already there; in the next row where a row is full. */
function freePlace(frame: Rect, taken: readonly { x: Mm; y: Mm }[], bounds: Rect): { x: Mm; y: Mm } {
  const step = 2 * NUMBER_RADIUS_MM;
  let { x, y } = frame;
  const isTaken = () => taken.some((other) => Math.hypot(other.x - x, other.y - y) < step);
  while (isTaken()) {
    x += step;
    if (x > rectRight(bounds)) {
      x = bounds.x;
      y += step;
    }
    if (y > rectBottom(bounds)) return { x: frame.x, y: frame.y };
  }
  return { x, y };
}
