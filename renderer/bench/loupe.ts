/** The loupe: what lies under the pointer, enlarged beside it, while somebody measures or drags. */
import { signal } from '@preact/signals';
import type { Point } from '../../core/measure/rect.ts';
import type { Mm } from '../../core/measure/units.ts';
import { settings } from '../state/settings.ts';
import { placedSides, readout, type Tool, tool } from './bench-state.ts';
import { distanceOnBench } from './distance.ts';
import type { BenchPointer } from './gesture.ts';
import type { PxPoint, PxSize, Viewport } from './viewport.ts';

export const LOUPE_PX = 168;
/** Larger than on the bench by so much. */
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
]);

/** Called with each move of the pointer, after what it drags has followed. */
export function followLoupe({ px, mm }: BenchPointer): void {
  const isWanted = settings.value.isLoupeShown && (readout.value !== undefined || PRECISE.has(tool.value));
  loupe.value = isWanted ? { at: px, mm: pointLookedAt(mm) } : undefined;
}

/** The end of a distance where that is drawn to something, else the pointer. */
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
 * Where its top left corner goes: above the pointer and left of it, away from the words, which stand right of it. At
 * the left edge it goes right, at the top below; it never lies over the pointer.
 */
export function loupeCorner({ xPx, yPx }: PxPoint, canvas: PxSize, wordLines: number): PxPoint {
  const words = wordLines * WORDS_LINE_PX;
  const areWordsAbove = yPx + AWAY_PX + words > canvas.heightPx;
  const isLeft = xPx - AWAY_PX - LOUPE_PX >= 0;
  const above = yPx - AWAY_PX - LOUPE_PX;
  const isAbove = above >= 0;
  const left = isLeft ? xPx - AWAY_PX - LOUPE_PX : xPx + AWAY_PX;
  if (isAbove) return { xPx: left, yPx: areWordsAbove ? Math.max(0, above - words) : above };
  // Below on the right stand the words.
  return { xPx: left, yPx: isLeft ? yPx + AWAY_PX : yPx + AWAY_PX + words };
}

export interface LoupeLine {
  readonly isUpright: boolean;
  readonly atPx: number;
  readonly isGuide: boolean;
}

/** The lines of the sides that cross what the loupe shows, in its pixels. */
export function loupeLines(view: Viewport): readonly LoupeLine[] {
  return placedSides.value.flatMap(({ at, layout: { side, seams } }) => {
    const line = (direction: string, atMm: Mm, isGuide: boolean): LoupeLine => {
      const isUpright = direction === 'vertical';
      const away = isUpright ? at.x + atMm - view.xMm : at.y + atMm - view.yMm;
      return { isUpright, atPx: away * view.pxPerMm, isGuide };
    };
    return [
      ...seams.map((seam) => line(seam.direction, seam.at, false)),
      ...side.bodyLines.map(({ direction, atMm }) => line(direction, atMm, false)),
      ...(side.guides ?? []).map(({ direction, atMm }) => line(direction, atMm, true)),
    ].filter(({ atPx }) => atPx >= 0 && atPx <= LOUPE_PX);
  });
}
