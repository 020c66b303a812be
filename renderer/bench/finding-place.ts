/** Going to the place of a finding. */

import type { Finding } from '../../core/findings/finding.ts';
import { bodyLineSpan } from '../../core/job/body-line.ts';
import { doorOutline, sideLines } from '../../core/job/door.ts';
import { ITEM_LISTS, sideItems } from '../../core/job/edits/edits.ts';
import { linePath } from '../../core/job/line-path.ts';
import { rectFromStored } from '../../core/job/stored-rect.ts';
import type { Seam } from '../../core/layout/panel.ts';
import { seamAcross } from '../../core/layout/seam-line-place.ts';
import type { SideLayout } from '../../core/layout/side-layout.ts';
import { pathRange } from '../../core/measure/path.ts';
import { type Rect, rectFromIntervals } from '../../core/measure/rect.ts';
import { layouts } from '../state/open-job.ts';
import { benchContent, placedSide, selection, showStage, stage, zoomToRect } from './bench-state.ts';
import { rectOnBench } from './sides-placed.ts';

export function showFindingPlace(finding: Finding): void {
  const { where } = finding;
  const layout = layouts.value.find(
    ({ side, panels }) => side.id === where.sideId || panels.some(({ id }) => id === where.panelId),
  );
  if (!layout) {
    if (where.page !== undefined) showStage({ kind: 'page', page: where.page });
    return;
  }
  const sideId = layout.side.id;
  const here = stage.value;
  if (here.kind === 'page' || (here.kind === 'side' && here.sideId !== sideId)) {
    showStage({ kind: 'side', sideId });
  }
  chooseByFinding(layout, finding);
  const placed = placedSide(sideId);
  const rect = placeRect(layout, finding);
  if (placed && rect) zoomToRect(rectOnBench(placed, rect));
  else zoomToRect(benchContent.value);
}

function chooseByFinding({ side }: SideLayout, { where }: Finding): void {
  const { panelId, seamId, itemId } = where;
  const list = ITEM_LISTS.find((name) => sideItems(side, name).some(({ id }) => id === itemId));
  if (seamId !== undefined) selection.value = { kind: 'seams', sideId: side.id, seamIds: [seamId] };
  else if (itemId !== undefined && list) {
    selection.value = { kind: 'item', sideId: side.id, list, itemId };
  } else if (panelId !== undefined) selection.value = { kind: 'panel', sideId: side.id, panelId };
  else selection.value = { kind: 'side', sideId: side.id };
}

export function seamRect(seam: Seam): Rect {
  const { start, end } = seamAcross(seam);
  const across = { start, end: Math.max(end, start + 1) };
  return seam.direction === 'vertical'
    ? rectFromIntervals(across, seam.span)
    : rectFromIntervals(seam.span, across);
}

/** The area that a finding speaks of, as small as is known. */
function placeRect(layout: SideLayout, { where }: Finding): Rect | undefined {
  if (where.area) return where.area;
  const seam = layout.seams.find(({ id }) => id === where.seamId);
  if (seam) {
    return seamRect(seam);
  }
  const { side } = layout;
  const door = side.doors?.find(({ id }) => id === where.itemId);
  if (door) return doorOutline(door)?.rect;
  const area = [...side.noFilmAreas, ...side.noSeamAreas, ...side.ground].find(
    ({ id }) => id === where.itemId,
  );
  if (area) return rectFromStored(area.rect);
  const line = sideLines(side).find(({ id }) => id === where.itemId);
  if (line) {
    const along = bodyLineSpan(line, layout.outline);
    const { start, end } = pathRange(linePath(line), along);
    const across = { start, end: Math.max(end, start + 1) };
    return line.direction === 'vertical'
      ? rectFromIntervals(across, along)
      : rectFromIntervals(along, across);
  }
  return layout.panels.find(({ id }) => id === where.panelId)?.film;
}
