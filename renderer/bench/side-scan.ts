/** What the artwork was seen to hold on a side; nothing until it has been looked through. */
import { sideLettering } from '../../core/checks/side-lettering.ts';
import { sidePictures } from '../../core/checks/side-pictures.ts';
import type { Side } from '../../core/job/schema.ts';
import { rectFromStored } from '../../core/job/stored-rect.ts';
import type { Lettering } from '../../core/lettering/lettering.ts';
import type { Rect } from '../../core/measure/rect.ts';
import { artworkFacts, job } from '../state/open-job.ts';

const scanOf = (side: Side) => artworkFacts.value?.scan?.pages.find(({ number }) => number === side.page);

export function letteringOf(side: Side): readonly Lettering[] {
  const [current, page] = [job.value, scanOf(side)];
  return current && page ? sideLettering(current, side, page) : [];
}

/** Lettering that was found or framed by hand: nothing that we place should lie on it. */
export const judgedRects = (side: Side): readonly Rect<'finished'>[] => [
  ...letteringOf(side).map(({ rect }) => rect),
  ...side.noSeamAreas.map(({ rect }) => rectFromStored<'finished'>(rect)),
];

export function picturesOf(side: Side): readonly Rect<'finished'>[] {
  const [current, page] = [job.value, scanOf(side)];
  return current && page ? sidePictures(current, side, page) : [];
}
