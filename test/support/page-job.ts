/** A job whose only side is most of a page, in four panels: a strip of the page stays beside the side. */
import { jobEmpty } from '../../core/job/defaults.ts';
import { sideAdd } from '../../core/job/edits/side-edits.ts';
import type { Job, Joint } from '../../core/job/schema.ts';
import type { Rect } from '../../core/measure/rect.ts';

/** Shares of the page's size. */
const BESIDE = 0.1;
const BLEED = 0.01;
/** A side of a van. */
const LONG_WAY_MM = 4000;

/** `visible`: what the page shows, drawn. */
export function pageJob(page: number, visible: Rect<'drawn'>): Job {
  const scale = LONG_WAY_MM / Math.max(visible.width, visible.height);
  const side = {
    x: visible.x + BESIDE * visible.width,
    y: visible.y + BESIDE * visible.height,
    width: (1 - 2 * BESIDE) * visible.width,
    height: (1 - 2 * BESIDE) * visible.height,
  };
  const lap = (id: string, atMm: number): Joint => ({
    id,
    kind: 'lap',
    atMm,
    firstMm: 10,
    secondMm: 10,
    top: 'first',
  });
  const [width, height] = [side.width * scale, side.height * scale];
  const panel = (id: string) => ({ kind: 'panel' as const, id });
  const added = sideAdd(
    {
      ...jobEmpty({
        id: 'page',
        number: 'PAGE-1',
        name: 'Page',
        customer: 'Alder County Library',
        date: '2026-11-20',
      }),
      scale,
    },
    {
      id: 'side',
      side: {
        code: 'DS',
        name: 'Driver side',
        page,
        artworkRect: { xMm: side.x, yMm: side.y, widthMm: side.width, heightMm: side.height },
        front: 'left',
        bleed: { top: BLEED * width, right: BLEED * width, bottom: BLEED * width, left: BLEED * width },
        layout: {
          kind: 'split',
          seams: 'vertical',
          joints: [lap('s1', 0.31 * width), lap('s2', 0.64 * width)],
          parts: [
            panel('p1'),
            {
              kind: 'split',
              seams: 'horizontal',
              joints: [lap('s3', 0.45 * height)],
              parts: [panel('p2'), panel('p3')],
            },
            panel('p4'),
          ],
        },
      },
    },
  );
  if (!added.ok) throw new Error(added.problem.message);
  return added.value;
}

/** Where on the page something lies beside the side: in the middle of the strip at its left. */
export const placeBeside = ({ x, y, width, height }: Rect<'drawn'>): Rect<'drawn'> => ({
  x: x + 0.02 * width,
  y: y + 0.4 * height,
  width: 0.03 * width,
  height: 0.1 * height,
});
