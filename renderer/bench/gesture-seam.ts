/** Drags a seam, and cuts a panel with a new one. */

import { panelSplit, seamMove } from '../../core/job/edits/edits.ts';
import { jobFilm, sideFilmId } from '../../core/job/job-films.ts';
import { jobAllowances, jointDefault } from '../../core/job/joint-default.ts';
import { rectAcross, rectAlong, regionWithJoints } from '../../core/job/region.ts';
import type { Job, SeamDirection, Side } from '../../core/job/schema.ts';
import { type SeamInSplit, seamInSplit } from '../../core/job/seam-range.ts';
import { type SeamSnap, seamSnap, snapRequestOfSeam } from '../../core/job/seam-snap.ts';
import type { Panel, Seam } from '../../core/layout/panel.ts';
import { printerPrintWidth } from '../../core/layout/panel-fit.ts';
import { jointFilmEdges } from '../../core/layout/rivet-row.ts';
import { type SideLayout, sideLayout } from '../../core/layout/side-layout.ts';
import {
  pictureEdgePlaces,
  rivetRowPlaces,
  rollFilledPlaces,
  wordSpacePlaces,
} from '../../core/layout/snap-places.ts';
import type { Interval } from '../../core/measure/interval.ts';
import { foundIn } from '../../core/measure/present.ts';
import type { Point } from '../../core/measure/rect.ts';
import type { Mm } from '../../core/measure/units.ts';
import { editJob, job, pageExtents } from '../state/open-job.ts';
import { bodyPanelAt, splitPosition } from './bench-hit.ts';
import {
  announce,
  clearDrafts,
  draft,
  ghostPanelId,
  readout,
  seamInHand,
  selection,
  viewport,
} from './bench-state.ts';
import type { BenchPointer, Gesture } from './gesture.ts';
import { isClick } from './gesture.ts';
import { seamWords, snapWords } from './seam-words.ts';
import { letteringOf, picturesOf } from './side-scan.ts';
import { type PlacedSide, pointOnSide } from './sides-placed.ts';
import { SNAP_REACH_PX, WHOLE_UNIT_MM } from './snap-steps.ts';

/** A seam stays this far from the ends of its range, where it would leave no panel. */
const END_CLEARANCE_MM = 1;

/** Drags a seam; the job changes once, when the seam is released. */
export function seamDrag(placed: PlacedSide, seam: Seam, from: BenchPointer): Gesture | undefined {
  const current = job.value;
  const found = seamInSplit(placed.layout.side.layout, placed.layout.outline, seam.id);
  if (!current || !found) return undefined;
  if (found.joint.locked) {
    announce('This seam is locked. Unlock it under Selection to move it.');
    return undefined;
  }
  const { side } = placed.layout;
  // A seam with shape moves as a whole and does not snap.
  const isShaped = found.joint.shape !== undefined;
  const grip = positionOf(from.mm, seam.direction) - found.joint.atMm;
  const places = [
    ...rollFilledPlaces(placed.layout, seam, printerPrintWidth(jobFilm(current, sideFilmId(side)).printer)),
    ...rivetRowPlaces(current, side, jointFilmEdges(found.joint), seam.direction, found.span),
    ...placesOnArtwork(side, seam.direction, found.span),
  ];
  let at: Mm | undefined;

  return {
    move(pointer) {
      if (at === undefined && isClick(from, pointer)) return;
      const wanted = positionOf(pointer.mm, seam.direction) - grip;
      const snap = seamPlaced(side, found, wanted, places, {
        isFree: pointer.isFree || isShaped,
        unit: current.displayUnit,
      });
      at = snap.atMm;
      const moved = layoutWithSeamAt(current, side, seam.id, at);
      draft.value = moved;
      showWords(current, { layout: moved, seamId: seam.id }, snap, pointer, placed);
    },
    end() {
      clearDrafts();
      if (at === undefined || at === found.joint.atMm) return;
      const atMm = at;
      editJob('Move a seam', (now) => seamMove(now, { sideId: side.id, seamId: seam.id, atMm }));
    },
  };
}

/** What the artwork shows beside a seam that runs over `span`. */
const placesOnArtwork = (side: Side, direction: SeamDirection, span: Interval): readonly SeamSnap[] => [
  ...wordSpacePlaces(letteringOf(side), direction, span),
  ...pictureEdgePlaces(picturesOf(side), direction, span),
];

/** The place of a seam that is requested at `wantedMm`. */
function seamPlaced(
  side: Side,
  seam: SeamInSplit,
  wantedMm: Mm,
  places: readonly SeamSnap[],
  { isFree, unit }: { readonly isFree: boolean; readonly unit: 'mm' | 'in' },
): SeamSnap {
  const { start, end } = seam.range;
  const atMm = Math.min(Math.max(wantedMm, start + END_CLEARANCE_MM), end - END_CLEARANCE_MM);
  if (isFree) return { atMm, target: { kind: 'none' } };
  const reachMm = SNAP_REACH_PX / viewport.value.pxPerMm;
  return seamSnap(side, snapRequestOfSeam(seam, { atMm, reachMm, stepMm: WHOLE_UNIT_MM[unit], places }));
}

/** The side with one seam moved, without the checks of an edit, for display only. */
function layoutWithSeamAt(current: Job, side: Side, seamId: string, atMm: Mm): SideLayout {
  const layout = regionWithJoints(side.layout, (joint) => (joint.id === seamId ? { ...joint, atMm } : joint));
  return sideLayout(current, { ...side, layout }, pageExtents.value);
}

function showWords(
  current: Job,
  { layout, seamId }: { readonly layout: SideLayout; readonly seamId: string },
  snap: SeamSnap,
  pointer: BenchPointer,
  placed: PlacedSide,
): void {
  const seam = layout.seams.find(({ id }) => id === seamId);
  if (!seam) return;
  const on = pointOnSide(placed, pointer.mm);
  const along = seam.direction === 'vertical' ? on.y : on.x;
  const words = seamWords(layout, seam, along, current);
  const drawnTo = snapWords(snap.target, current.displayUnit);
  readout.value = { at: pointer.px, lines: drawnTo === undefined ? words : [...words, drawnTo] };
}

/** Preview of a cut at the pointer, while the pointer hovers with a seam tool. */
interface CutPreview {
  readonly panel: Panel;
  readonly atMm: Mm;
}

export function previewCut(
  placed: PlacedSide,
  base: SideLayout,
  pointer: BenchPointer,
): CutPreview | undefined {
  const current = job.value;
  const direction = seamInHand();
  const on = pointOnSide(placed, pointer.mm);
  const panel = bodyPanelAt(base, on);
  if (!current || !direction || !panel) {
    clearDrafts();
    return undefined;
  }
  const { side } = base;
  const snap = cutPlaced(current, side, panel, on, { direction, isFree: pointer.isFree });
  const cut = panelSplit(current, { sideId: side.id, panelId: panel.id, seams: direction, atMm: snap.atMm });
  if (!cut.ok) {
    clearDrafts();
    return undefined;
  }
  const after = sideLayout(
    cut.value,
    foundIn(cut.value.sides, ({ id }) => id === side.id),
    pageExtents.value,
  );
  const before = new Set(base.seams.map(({ id }) => id));
  const seam = after.seams.find(({ id }) => !before.has(id));
  draft.value = after;
  ghostPanelId.value = panel.id;
  if (seam) showWords(current, { layout: after, seamId: seam.id }, snap, pointer, placed);
  return { panel, atMm: snap.atMm };
}

/** Cuts the panel under the pointer. */
export function makeCut(placed: PlacedSide, base: SideLayout, pointer: BenchPointer): void {
  const direction = seamInHand();
  const preview = previewCut(placed, base, pointer);
  clearDrafts();
  if (!preview || !direction) return;
  const { side } = base;
  cutPanelAt(side.id, preview.panel, direction, preview.atMm);
}

/** Cuts a panel and selects the new seam. */
export function cutPanelAt(sideId: string, panel: Panel, seams: SeamDirection, atMm: Mm): string | undefined {
  const before = seamIds(sideId);
  const problem = editJob('Cut a panel', (now) =>
    panelSplit(now, { sideId, panelId: panel.id, seams, atMm }),
  );
  if (problem) return problem.message;
  const made = [...seamIds(sideId)].find((id) => !before.has(id));
  if (made !== undefined) selection.value = { kind: 'seams', sideId, seamIds: [made] };
  announce(`${panel.label} is cut in two.`);
  return undefined;
}

function seamIds(sideId: string): ReadonlySet<string> {
  const current = job.value;
  const side = current?.sides.find(({ id }) => id === sideId);
  return new Set(current && side ? sideLayout(current, side).seams.map(({ id }) => id) : []);
}

function cutPlaced(
  current: Job,
  side: Side,
  panel: Panel,
  on: Point<'finished'>,
  { direction, isFree }: { readonly direction: SeamDirection; readonly isFree: boolean },
): SeamSnap {
  const across: Interval = rectAcross(panel.net, direction);
  const wanted = splitPosition(on, direction);
  const atMm = Math.min(Math.max(wanted, across.start + END_CLEARANCE_MM), across.end - END_CLEARANCE_MM);
  if (isFree) return { atMm, target: { kind: 'none' } };
  const span = rectAlong(panel.net, direction);
  const made = jointDefault({ id: '', atMm }, direction, side.front, {}, jobAllowances(current));
  return seamSnap(side, {
    direction,
    places: [
      ...rivetRowPlaces(current, side, jointFilmEdges(made), direction, span),
      ...placesOnArtwork(side, direction, span),
    ],
    atMm,
    reachMm: SNAP_REACH_PX / viewport.value.pxPerMm,
    span,
    across,
    range: across,
    divisions: [2, 3],
    stepMm: WHOLE_UNIT_MM[current.displayUnit],
  });
}

const positionOf = (at: Point, direction: SeamDirection): Mm => (direction === 'vertical' ? at.x : at.y);
