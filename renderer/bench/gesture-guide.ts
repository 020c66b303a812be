/** Places a guide line: it snaps to what is there, else to whole steps of the unit. */
import { type EditResult, itemAdd } from '../../core/job/edits/edits.ts';
import { rectAcross } from '../../core/job/region.ts';
import type { Job, SeamDirection } from '../../core/job/schema.ts';
import type { SnapTarget } from '../../core/job/seam-snap.ts';
import { nearestLine, sideSnapLines } from '../../core/layout/point-snap.ts';
import { sideLayout } from '../../core/layout/side-layout.ts';
import { lengthText } from '../../core/measure/length-text.ts';
import type { Mm } from '../../core/measure/units.ts';
import { editJob, job, layouts, pageExtents } from '../state/open-job.ts';
import {
  clearDrafts,
  draft,
  readout,
  selection,
  type Tool,
  takeTool,
  tool,
  viewport,
} from './bench-state.ts';
import type { BenchPointer } from './gesture.ts';
import { snapWords } from './seam-words.ts';
import { picturesOf } from './side-scan.ts';
import { type PlacedSide, pointOnSide } from './sides-placed.ts';
import { AREA_STEP_MM, SNAP_REACH_PX, stepped } from './snap-steps.ts';

export const isGuideTool = (candidate: Tool): boolean =>
  candidate === 'guide-vertical' || candidate === 'guide-horizontal';

const direction = (): SeamDirection => (tool.value === 'guide-vertical' ? 'vertical' : 'horizontal');

const guideAdded = (now: Job, sideId: string, atMm: Mm): EditResult =>
  itemAdd(now, { sideId, list: 'guides', item: { direction: direction(), atMm } });

function placeOf(
  placed: PlacedSide,
  pointer: BenchPointer,
): { readonly atMm: Mm; readonly target?: SnapTarget } {
  const on = pointOnSide(placed, pointer.mm);
  const [across, along] = direction() === 'vertical' ? [on.x, on.y] : [on.y, on.x];
  if (pointer.isFree) return { atMm: across };
  // The side as it is without the guide that is about to be dropped.
  const layout = layouts.value.find(({ side }) => side.id === placed.layout.side.id) ?? placed.layout;
  const lines = sideSnapLines(layout, picturesOf(layout.side));
  const line = nearestLine(lines, direction(), { across, along }, SNAP_REACH_PX / viewport.value.pxPerMm);
  return line ?? { atMm: stepped(across, AREA_STEP_MM[job.value?.displayUnit ?? 'mm']) };
}

export function previewGuide(placed: PlacedSide, pointer: BenchPointer): void {
  const current = job.value;
  const sideId = placed.layout.side.id;
  if (!current) return;
  const { atMm, target } = placeOf(placed, pointer);
  const added = guideAdded(current, sideId, atMm);
  const side = added.ok ? added.value.sides.find(({ id }) => id === sideId) : undefined;
  if (!added.ok || !side) return;
  draft.value = sideLayout(added.value, side, pageExtents.value);
  const reason = target && snapWords(target, current.displayUnit);
  readout.value = {
    at: pointer.px,
    lines: [
      `${lengthText(atMm, current.displayUnit)} from the ${direction() === 'vertical' ? 'left' : 'top'} edge`,
      ...(reason === undefined ? [] : [reason]),
    ],
  };
}

export function dropGuide(placed: PlacedSide, pointer: BenchPointer): void {
  dropGuideAt(placed.layout.side.id, placeOf(placed, pointer).atMm);
}

/** In the middle of the side, from where it is typed or moved by the arrow keys. */
export function dropGuideInMiddle({ layout }: Pick<PlacedSide, 'layout'>): void {
  const { start, end } = rectAcross(layout.outline, direction());
  const step = AREA_STEP_MM[job.value?.displayUnit ?? 'mm'];
  dropGuideAt(layout.side.id, stepped((start + end) / 2, step));
}

function dropGuideAt(sideId: string, atMm: Mm): void {
  clearDrafts();
  if (editJob('Place a guide line', (now) => guideAdded(now, sideId, atMm))) return;
  const made = job.value?.sides.find(({ id }) => id === sideId)?.guides?.at(-1);
  takeTool('select');
  if (made) selection.value = { kind: 'item', sideId, list: 'guides', itemId: made.id };
}
