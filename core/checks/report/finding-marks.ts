/**
 * Places of findings on the pages of the artwork: a frame where the place is known, else a note at the corner of the
 * side or page.
 */
import type { Job } from '../../job/schema.ts';
import { rectFromStored } from '../../job/stored-rect.ts';
import type { SideLayout } from '../../layout/side-layout.ts';
import { type Rect, rectIntersection } from '../../measure/rect.ts';
import { finishedFromDrawn } from '../../measure/spaces.ts';
import type { PageMark } from '../../pdf/remarks/page-annotations.ts';
import { DESIGNER_WEIGHTS, type NumberedFinding } from './numbered-finding.ts';

/** Share of the longer edge of a page that is still visible, and can be clicked, with the whole page on a screen. */
const LEAST_SHARE = 0.012;

/** `pages`: the full area of each page, in drawn mm. */
export function findingMarks(
  job: Job,
  layouts: readonly SideLayout[],
  findings: readonly NumberedFinding[],
  pages: ReadonlyMap<number, Rect<'drawn'>>,
): PageMark[] {
  const first = [...pages.keys()][0];
  if (first === undefined) return [];
  const notes = new Map<string, number>();
  const labels: { readonly page: number; readonly x: number; readonly y: number }[] = [];
  return findings.flatMap(({ number, finding }): PageMark[] => {
    const { sideId, area } = finding.where;
    const layout = layouts.find(({ side }) => side.id === sideId);
    const page = layout?.side.page ?? finding.where.page ?? first;
    const extent = pages.get(page);
    if (!extent) return [];
    const least = LEAST_SHARE * Math.max(extent.width, extent.height);
    const side = layout && rectFromStored<'drawn'>(layout.side.artworkRect);
    const common = {
      page,
      number,
      severity: finding.severity,
      subject: `No. ${number}: ${DESIGNER_WEIGHTS[finding.severity]}`,
      contents: `${number}. ${finding.message} ${finding.remedy}`,
      unitMm: least,
    };
    const framed = side && area && finishedFromDrawn(side, job.scale).rectBack(area);
    const shown = framed && rectIntersection(framed, extent);
    if (shown) {
      const rect = atLeast(shown, 1.6 * least, extent);
      // Numbers of frames that begin at one place are side by side.
      let { x } = rect;
      const isTaken = (label: (typeof labels)[0]) =>
        label.page === page && Math.abs(label.x - x) < 2 * least && Math.abs(label.y - rect.y) < 1.5 * least;
      while (labels.some(isTaken)) x += 2 * least;
      labels.push({ page, x, y: rect.y });
      const labelShiftMm = Math.min(x - rect.x, Math.max(0, rect.width - 2 * least));
      return [{ ...common, kind: 'frame', rect, labelShiftMm }];
    }
    const corner = (side && rectIntersection(side, extent)) ?? extent;
    const key = `${page} ${corner.x} ${corner.y}`;
    const before = notes.get(key) ?? 0;
    notes.set(key, before + 1);
    const size = 2 * least;
    const rect = {
      x: corner.x + size * (0.25 + 1.25 * before),
      y: corner.y + size / 4,
      width: size,
      height: size,
    };
    return [{ ...common, kind: 'note', rect, labelShiftMm: 0 }];
  });
}

/** Enlarged about its center, and kept on the page. */
function atLeast(rect: Rect<'drawn'>, least: number, page: Rect<'drawn'>): Rect<'drawn'> {
  const grown = (at: number, size: number, from: number, room: number): [number, number] => {
    const wanted = Math.min(room, Math.max(size, least));
    const start = at + (size - wanted) / 2;
    return [Math.min(Math.max(start, from), from + room - wanted), wanted];
  };
  const [x, width] = grown(rect.x, rect.width, page.x, page.width);
  const [y, height] = grown(rect.y, rect.height, page.y, page.height);
  return { x, y, width, height };
}
