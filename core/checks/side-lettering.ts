import type { Job, Side, StoredRect } from '../job/schema.ts';
import { sideOutline } from '../job/side-outline.ts';
import { rectFromStored, storedFromRect } from '../job/stored-rect.ts';
import type { Lettering } from '../lettering/lettering.ts';
import { type Rect, rectArea, rectIntersection } from '../measure/rect.ts';
import { finishedFromDrawn } from '../measure/spaces.ts';
import type { PageScan, ScannedLine } from './scan/schema.ts';

/** Height of a capital letter ÷ font size. Common practice, no source: most text faces lie between 0.65 and 0.73. */
export const CAP_HEIGHT_SHARE = 0.7;

/** Two lines that share this much of the smaller one count as one: lettering and its shadow, outline or live text. */
const SAME_SHARE = 0.6;

/** The lettering that the scan of the artwork's page found on a side, without what is ignored as decoration. */
export function sideLettering(job: Pick<Job, 'scale'>, side: Side, page: PageScan): readonly Lettering[] {
  const key = JSON.stringify([job.scale, side.artworkRect, side.ignoredLettering]);
  const known = lastLettering.get(page)?.get(side.id);
  if (known?.key === key) return known.lettering;
  const lettering = letteringFound(job, side, page);
  const ofPage = lastLettering.get(page) ?? new Map();
  lastLettering.set(page, ofPage.set(side.id, { key, lettering }));
  return lettering;
}

/** The last result: moving a seam does not change it. */
const lastLettering = new WeakMap<
  PageScan,
  Map<string, { readonly key: string; readonly lettering: readonly Lettering[] }>
>();

function letteringFound(job: Pick<Job, 'scale'>, side: Side, page: PageScan): Lettering[] {
  const { rect: placed } = finishedFromDrawn(rectFromStored<'drawn'>(side.artworkRect), job.scale);
  const outline = sideOutline(side, job.scale);
  const ignored = (side.ignoredLettering ?? []).map((rect) => placed(rectFromStored<'drawn'>(rect)));
  const ofText = page.lettering
    .filter(({ text }) => isLettered(text))
    .map(
      (line): Lettering => ({
        id: letteringId('text', line.area),
        ...inFinished(line, placed),
        capHeightMm: line.sizeMm * CAP_HEIGHT_SHARE * job.scale,
        // Text without characters in the file is only seen, not read.
        ...(!line.text.includes(UNREADABLE) && { text: line.text }),
        isSure: true,
      }),
    );
  const ofShapes = (page.shapes ?? []).map(
    (shapes): Lettering => ({
      id: letteringId('shapes', shapes.area),
      ...inFinished(shapes, placed),
      capHeightMm: shapes.capHeightMm * job.scale,
      isSure: shapes.isSure,
    }),
  );
  const kept: Lettering[] = [];
  const isOnSide = ({ rect }: Lettering) => rectIntersection(rect, outline) !== undefined;
  for (const text of ofText.filter(isOnSide)) {
    if (!kept.some((other) => isLetteringAt(other, text.rect))) kept.push(text);
  }
  for (const shapes of ofShapes.filter(isOnSide)) {
    // Shapes on top of a line add nothing to it; a line that contains something small is still a line.
    if (!kept.some(({ rect }) => coveredShare(shapes.rect, rect) >= SAME_SHARE)) kept.push(shapes);
  }
  return kept.filter((lettering) => !ignored.some((other) => isLetteringAt(lettering, other)));
}

const inFinished = (
  { area, words, strokes }: Pick<ScannedLine, 'area' | 'words' | 'strokes'>,
  placed: (rect: Rect<'drawn'>) => Rect<'finished'>,
): Pick<Lettering, 'rect' | 'words' | 'strokes'> => ({
  rect: placed(area),
  words: words.map((word) => placed(word)),
  strokes: strokes.map((stroke) => placed(stroke)),
});

const UNREADABLE = '\ufffd';
/** Bullets, rules and arrows set as text are not lettering. */
const isLettered = (text: string): boolean => /[\p{L}\p{N}\ufffd]/u.test(text);

/** An id from its place on the page, independent of painting order and scale. */
const letteringId = (kind: 'text' | 'shapes', { x, y }: ScannedLine['area']): string =>
  `${kind}-${Math.round(x)}-${Math.round(y)}`;

/** Place of a lettering on the page, in drawn mm; the job stores it for lettering to be ignored. */
export const letteringOnPage = (job: Pick<Job, 'scale'>, side: Side, rect: Rect<'finished'>): StoredRect =>
  storedFromRect(finishedFromDrawn(rectFromStored<'drawn'>(side.artworkRect), job.scale).rectBack(rect));

export const letteringOnSide = (job: Pick<Job, 'scale'>, side: Side, drawn: StoredRect): Rect<'finished'> =>
  finishedFromDrawn(rectFromStored<'drawn'>(side.artworkRect), job.scale).rect(rectFromStored(drawn));

/** Whether a lettering and a rectangle share most of the smaller one. */
export function isLetteringAt({ rect: a }: Pick<Lettering, 'rect'>, b: Rect<'finished'>): boolean {
  return Math.max(coveredShare(a, b), coveredShare(b, a)) >= SAME_SHARE;
}

function coveredShare(rect: Rect<'finished'>, by: Rect<'finished'>): number {
  const shared = rectIntersection(rect, by);
  return shared === undefined ? 0 : rectArea(shared) / rectArea(rect);
}
