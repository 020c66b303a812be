/** Places of the artwork's pictures on a side. */
import type { Job, Side } from '../job/schema.ts';
import { sideOutline } from '../job/side-outline.ts';
import { rectFromStored } from '../job/stored-rect.ts';
import { type Rect, rectIntersection } from '../measure/rect.ts';
import { finishedFromDrawn } from '../measure/spaces.ts';
import type { PageScan } from './scan/schema.ts';

/** Rectangles around the pictures on the side; blurs and shadows are left out, because they have no visible edge. */
export function sidePictures(
  job: Pick<Job, 'scale'>,
  side: Side,
  page: Pick<PageScan, 'images'>,
): readonly Rect<'finished'>[] {
  const finished = finishedFromDrawn(rectFromStored<'drawn'>(side.artworkRect), job.scale);
  const outline = sideOutline(side, job.scale);
  return page.images
    .filter(({ isMask }) => !isMask)
    .flatMap(({ area }) => rectIntersection(finished.rect(area), outline) ?? []);
}
