/** On an artwork page: drawing a side, moving and pulling the rectangles of sides. */
import { sideAdd, sideSet } from '../../core/job/edits/edits.ts';
import { sideSuggested } from '../../core/job/edits/side-suggested.ts';
import type { Side } from '../../core/job/schema.ts';
import { rectFromStored, storedFromRect } from '../../core/job/stored-rect.ts';
import { sideVehicle } from '../../core/job/vehicles.ts';
import { lengthText } from '../../core/measure/length-text.ts';
import { bothMapped } from '../../core/measure/pairs.ts';
import { type Point, type Rect, rectBottom, rectRight } from '../../core/measure/rect.ts';
import type { Mm } from '../../core/measure/units.ts';
import { editJob, job } from '../state/open-job.ts';
import { handleAt, isInside, rectPulled } from './bench-hit.ts';
import {
  announce,
  clearDrafts,
  draftRect,
  readout,
  selection,
  stagePage,
  tool,
  viewport,
} from './bench-state.ts';
import { type BenchPointer, type Gesture, isClick, LEAST_DRAWN_PX } from './gesture.ts';
import { rectBetween } from './gesture-area.ts';
import { sizeText } from './seam-words.ts';
import { HOLD_REACH_PX, SNAP_REACH_PX } from './snap-steps.ts';

const LEAST_SIDE_DRAWN_MM = 1;
/** Sides are drawn to tenths of a drawn millimeter; finer is typed. */
const DRAWN_STEP_MM = 0.1;

export function makeSide(rect: Rect): void {
  const page = stagePage.value?.number;
  if (page === undefined) return;
  const problem = editJob('Draw a side', (now) => {
    // Sides are drawn one after the other: the next one is of the vehicle of the last.
    const last = now.sides.at(-1);
    const vehicle = last && sideVehicle(now, last);
    return sideAdd(now, { side: sideSuggested(now, page, rect, vehicle) });
  });
  const made = job.value?.sides.at(-1);
  if (problem || !made) return;
  tool.value = 'select';
  selection.value = { kind: 'side', sideId: made.id };
  announce(`Side ${made.code}, ${made.name}, is drawn.`);
}

const drawnPoint = (point: Point): Point<'drawn'> => {
  const scale = job.value?.scale ?? 1;
  return { x: point.x / scale, y: point.y / scale };
};

const drawnReach = (px: number): Mm => px / viewport.value.pxPerMm / (job.value?.scale ?? 1);

export function sideDraw(from: BenchPointer): Gesture {
  let rect: Rect<'drawn'> | undefined;
  return {
    move(pointer) {
      const [a, b] = bothMapped([from, pointer], ({ mm }) => pointSnapped(drawnPoint(mm), pointer.isFree));
      rect = rectBetween(a, b, DRAWN_STEP_MM);
      if (Math.min(rect.width, rect.height) < drawnReach(LEAST_DRAWN_PX)) {
        rect = undefined;
        return;
      }
      draftRect.value = { rect };
      readout.value = { at: pointer.px, lines: rectWords(rect) };
    },
    end() {
      clearDrafts();
      if (rect) makeSide(rect);
      else announce('Press and drag from one corner of the side to the opposite one.');
    },
  };
}

function rectWords(rect: Rect): readonly string[] {
  const current = job.value;
  if (!current) return [];
  const finished = { width: rect.width * current.scale, height: rect.height * current.scale };
  return [
    `Finished ${sizeText(finished, current.displayUnit)}`,
    `On the page ${sizeText(rect, current.displayUnit)}, ${lengthText(rect.x, current.displayUnit)} from the left, ${lengthText(rect.y, current.displayUnit)} from the top`,
  ];
}

/** Drawn to the edges of the page's boxes and of other sides. */
function pointSnapped(point: Point<'drawn'>, isFree: boolean): Point<'drawn'> {
  if (isFree) return point;
  const page = stagePage.value;
  const rects = [
    ...Object.values(page?.boxes ?? {}),
    ...(job.value?.sides ?? []).filter((side) => side.page === page?.number).map((side) => side.artworkRect),
  ].map((stored) => rectFromStored<'drawn'>(stored));
  const reach = drawnReach(SNAP_REACH_PX);
  const nearest = (value: Mm, edges: readonly Mm[]) =>
    edges
      .filter((edge) => Math.abs(edge - value) <= reach)
      .toSorted((a, b) => Math.abs(a - value) - Math.abs(b - value))[0] ?? value;
  return {
    x: nearest(
      point.x,
      rects.flatMap((rect) => [rect.x, rectRight(rect)]),
    ),
    y: nearest(
      point.y,
      rects.flatMap((rect) => [rect.y, rectBottom(rect)]),
    ),
  };
}

/** The side of this page under a point; among several the smallest, so that each can be reached. */
export function sideOnPageAt(at: Point): Side | undefined {
  const page = stagePage.value?.number;
  const point = drawnPoint(at);
  const reach = drawnReach(HOLD_REACH_PX);
  return (job.value?.sides ?? [])
    .filter(
      (side) =>
        side.page === page &&
        (isInside(rectFromStored(side.artworkRect), point) ||
          handleAt(rectFromStored(side.artworkRect), point, reach) !== undefined),
    )
    .toSorted((a, b) => areaOf(a) - areaOf(b))[0];
}

const areaOf = ({ artworkRect: { widthMm, heightMm } }: Side): number => widthMm * heightMm;

/** Moves the rectangle of a side over the page, or pulls at its edges once it is chosen. */
export function sideOnPageDrag(side: Side, from: BenchPointer): Gesture {
  const rect = rectFromStored<'drawn'>(side.artworkRect);
  const wasChosen = selection.value.kind === 'side' && selection.value.sideId === side.id;
  const handle = wasChosen ? handleAt(rect, drawnPoint(from.mm), drawnReach(HOLD_REACH_PX)) : undefined;
  selection.value = { kind: 'side', sideId: side.id };
  let changed: Rect<'drawn'> | undefined;
  return {
    move(pointer) {
      if (!wasChosen || (!changed && isClick(from, pointer))) return;
      const [start, end] = [drawnPoint(from.mm), drawnPoint(pointer.mm)];
      const by = {
        x: Math.round((end.x - start.x) / DRAWN_STEP_MM) * DRAWN_STEP_MM,
        y: Math.round((end.y - start.y) / DRAWN_STEP_MM) * DRAWN_STEP_MM,
      };
      changed = handle
        ? rectPulled(rect, handle, by, LEAST_SIDE_DRAWN_MM)
        : { ...rect, x: rect.x + by.x, y: rect.y + by.y };
      draftRect.value = { sideId: side.id, rect: changed };
      readout.value = { at: pointer.px, lines: rectWords(changed) };
    },
    end() {
      clearDrafts();
      if (!changed) return;
      const artworkRect = storedFromRect(changed);
      editJob('Move a side on its page', (now) => sideSet(now, { sideId: side.id, change: { artworkRect } }));
    },
  };
}
