/** Where the pictures of an artwork lie on a side. */
import type { Job, Side } from '../job/schema.ts';
import { sideOutline } from '../job/side-outline.ts';
import { rectFromStored } from '../job/stored-rect.ts';
import { type Rect, rectIntersection } from '../measure/rect.ts';
import { finishedFromDrawn } from '../measure/spaces.ts';
import type { PageScan } from './scan/schema.ts';

/** Rectangles around the pictures as far as they lie on the side; blurs and shadows have no edge that one sees. */
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
