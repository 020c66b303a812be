/** The loupe: the area under the pointer, enlarged beside it, while the user measures or drags. */
import { signal } from '@preact/signals';
import { sideLines } from '../../core/job/door.ts';
import { linePath } from '../../core/job/line-path.ts';
import { type Axis, pathPart, pointOnAxis } from '../../core/measure/path.ts';
import type { Point } from '../../core/measure/rect.ts';
import type { Mm } from '../../core/measure/units.ts';
import { settings } from '../state/settings.ts';
import { placedSides, readout, type Tool, tool } from './bench-state.ts';
import { distanceOnBench } from './distance.ts';
import type { BenchPointer } from './gesture.ts';
import type { PxPoint, PxSize, Viewport } from './viewport.ts';

export const LOUPE_PX = 168;
/** How many times larger than on the bench. */
const ENLARGED = 5;
const AWAY_PX = 28;
/** Height of one line of the words beside the pointer, with its rule. */
const WORDS_LINE_PX = 24;

export interface Loupe {
  readonly at: PxPoint;
  readonly mm: Point;
}

export const loupe = signal<Loupe | undefined>(undefined);

const PRECISE: ReadonlySet<Tool> = new Set<Tool>([
  'distance',
  'measure',
  'seam-vertical',
  'seam-horizontal',
  'guide-vertical',
  'guide-horizontal',
  'line-vertical',
  'line-horizontal',
  'line-points',
]);

/** Called with each move of the pointer, after what it drags has followed. */
export function followLoupe({ px, mm }: BenchPointer): void {
  const isWanted = settings.value.isLoupeShown && (readout.value !== undefined || PRECISE.has(tool.value));
  loupe.value = isWanted ? { at: px, mm: pointLookedAt(mm) } : undefined;
}

/** The end of a distance that has snapped, else the pointer. */
function pointLookedAt(mm: Point): Point {
  const distance = tool.value === 'distance' ? distanceOnBench() : undefined;
  const placed = distance && placedSides.value.find(({ layout }) => layout.side.id === distance.sideId);
  if (!distance || distance.isDone || !placed) return mm;
  return { x: placed.at.x + distance.to.x, y: placed.at.y + distance.to.y };
}

export function loupeView({ mm }: Loupe, view: Viewport): Viewport {
  const pxPerMm = view.pxPerMm * ENLARGED;
  const half = LOUPE_PX / 2 / pxPerMm;
  return { xMm: mm.x - half, yMm: mm.y - half, pxPerMm };
}

/**
 * Where its top left corner goes: above and left of the pointer, because the words are on the right. At the left edge
 * it moves to the right, at the top below; it never covers the pointer.
 */
export function loupeCorner({ xPx, yPx }: PxPoint, canvas: PxSize, wordLines: number): PxPoint {
  const words = wordLines * WORDS_LINE_PX;
  const areWordsAbove = yPx + AWAY_PX + words > canvas.heightPx;
  const isLeft = xPx - AWAY_PX - LOUPE_PX >= 0;
  const above = yPx - AWAY_PX - LOUPE_PX;
  const isAbove = above >= 0;
  const left = isLeft ? xPx - AWAY_PX - LOUPE_PX : xPx + AWAY_PX;
  if (isAbove) return { xPx: left, yPx: areWordsAbove ? Math.max(0, above - words) : above };
  // The words are below on the right.
  return { xPx: left, yPx: isLeft ? yPx + AWAY_PX : yPx + AWAY_PX + words };
}

export interface LoupeLine {
  /** In pixels of the loupe. */
  readonly d: string;
  readonly isGuide: boolean;
}

/** The lines of the sides that cross what the loupe shows. */
export function loupeLines(view: Viewport): readonly LoupeLine[] {
  return placedSides.value.flatMap(({ at, layout: { side, seams } }) => {
    const x = (mm: Mm) => (at.x + mm - view.xMm) * view.pxPerMm;
    const y = (mm: Mm) => (at.y + mm - view.yMm) * view.pxPerMm;
    const level = (axis: Axis, atMm: Mm): LoupeLine['d'][] => {
      const px = axis === 'vertical' ? x(atMm) : y(atMm);
      if (px < 0 || px > LOUPE_PX) return [];
      return [axis === 'vertical' ? `M${px} 0V${LOUPE_PX}` : `M0 ${px}H${LOUPE_PX}`];
    };
    return [
      ...seams.flatMap((seam) => {
        if (!seam.path) return level(seam.direction, seam.at);
        const points = pathPart(seam.path, seam.span).map((point) => pointOnAxis(seam.direction, point));
        return [`M${points.map((point) => `${x(point.x)} ${y(point.y)}`).join('L')}`];
      }),
      ...sideLines(side).flatMap((line) => {
        if (!line.shape) return level(line.direction, line.atMm);
        const points = linePath(line).map((point) => pointOnAxis(line.direction, point));
        return [`M${points.map((point) => `${x(point.x)} ${y(point.y)}`).join('L')}`];
      }),
    ]
      .map((d) => ({ d, isGuide: false }))
      .concat(
        (side.guides ?? []).flatMap(({ direction, atMm }) =>
          level(direction, atMm).map((d) => ({ d, isGuide: true })),
        ),
      );
  });
}
