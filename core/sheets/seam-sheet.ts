/**
 * Seams at true size as they will look once installed: a stretch of each, with one panel slightly out of place. The
 * operator and the customer judge them from viewing distance before film is spent.
 */
import { type Item, MEDIUM, type RasterPicture, THIN } from '../drawing/drawing.ts';
import type { FontMetrics } from '../drawing/font-library.ts';
import { linesHeight, textLine, textLines, textWrapped } from '../drawing/text-block.ts';
import { type Job, MOST_SEAM_OFF_MM } from '../job/schema.ts';
import type { Panel, Seam } from '../layout/panel.ts';
import { seamPath } from '../layout/seam-line-place.ts';
import { type SeamShift, seamWindow } from '../layout/seam-look.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import { typedLengthText } from '../measure/length-text.ts';
import { listText } from '../measure/list-text.ts';
import { viewingDistanceText } from '../measure/long-length.ts';
import { pairsOf } from '../measure/pairs.ts';
import { pathValue } from '../measure/path.ts';
import {
  edgeLengthsAll,
  type Rect,
  rectBottom,
  rectGrown,
  rectIntersection,
  rectRight,
} from '../measure/rect.ts';
import { MM_PER_INCH, type Mm } from '../measure/units.ts';
import { bodyStyle, boldStyle } from './blocks.ts';
import { COLUMN_GAP_MM, columnsOf } from './column-pages.ts';
import { bodyRect, type PageDraft, type Sheet } from './page-frame.ts';
import { type SheetContext, type SheetOptions, sheetContext } from './sheet-context.ts';
import { sheetLengthWithUnit } from './sheet-length.ts';
import { scaleDesignation } from './sheet-scale.ts';
import { SHEET_SIZES, type SheetSize } from './sheet-size.ts';
import { sheetsWithTexts } from './text-pages.ts';

export const SEAM_SHEET = 'Seams at true size';

/** A stretch of a seam to judge. */
export interface SeamStretch {
  readonly layout: SideLayout;
  readonly seam: Seam;
  readonly name: string;
  /** Its middle, along the seam. */
  readonly alongMm: Mm;
  /** What the seam cuts there: lettering, or the name of a no-seam area. */
  readonly crosses?: string;
  /** Viewing distance of the side. */
  readonly distanceMm: Mm;
}

export interface SeamSheetOptions extends SheetOptions {
  readonly fonts: FontMetrics;
  /** The installed seam in `seamPictureWindow`, by seam id. */
  readonly pictures: ReadonlyMap<string, RasterPicture>;
}

/** Half of the usual hand tolerance of an overlap. Common practice, no source. */
const USUAL_OFF: SeamShift = { apartMm: 1, alongMm: 0 };

export const seamShiftOf = ({ sheets }: Pick<Job, 'sheets'>): SeamShift => ({
  ...USUAL_OFF,
  ...sheets?.seams,
});

const COLUMNS = 2;
const GAP_MM: Mm = 1.5;
const INTRO_LINES = 3;
const CAPTION_LINES = 3;
const CHECK_MM: Mm = 14;
const TICK_MM: Mm = 3;

interface Room {
  readonly width: Mm;
  readonly height: Mm;
}

const linesMm = ({ textMm }: SheetSize, count: number): Mm => linesHeight(count, textMm);

/** Room for a picture. */
function pictureRoom(size: SheetSize): Room {
  const body = bodyRect(size);
  const words = linesMm(size, INTRO_LINES) + linesMm(size, CAPTION_LINES) + 2 * GAP_MM;
  return {
    width: (body.width - COLUMN_GAP_MM * (COLUMNS - 1)) / COLUMNS - 2 * TICK_MM,
    height: body.height - words - 2 * TICK_MM - CHECK_MM,
  };
}

/** The part of the side that a page shows for a stretch, limited to the side. */
function shownWindow(job: Job, { layout, seam, alongMm }: SeamStretch): Rect<'finished'> {
  const room = pictureRoom(SHEET_SIZES[job.output.mapSheet]);
  const window = seamWindow(seam, alongMm, room);
  return rectIntersection(window, layout.outline) ?? window;
}

/** The same, plus the image that may be moved into it. */
export const seamPictureWindow = (job: Job, stretch: SeamStretch): Rect<'finished'> =>
  rectGrown(shownWindow(job, stretch), edgeLengthsAll(MOST_SEAM_OFF_MM));

/** Keeps SL3. */
export function seamSheet(
  job: Job,
  stretches: readonly SeamStretch[],
  options: SeamSheetOptions,
): readonly Sheet[] {
  const context = sheetContext(job, options.fonts, SHEET_SIZES[job.output.mapSheet], options);
  const body = bodyRect(context.size);
  const pages: PageDraft[] = [];
  for (let first = 0; first === 0 || first < stretches.length; first += COLUMNS) {
    const continued = first === 0 ? '' : ', continued';
    const page: PageDraft = {
      head: { title: `${SEAM_SHEET} · ${job.number}${continued}`, scale: scaleDesignation(1) },
      items: [],
    };
    page.items.push(...introItems(context, stretches.length === 0, body));
    const top = body.y + linesMm(context.size, INTRO_LINES) + GAP_MM;
    const height = body.height - (top - body.y) - CHECK_MM;
    const columns = columnsOf(
      page,
      { xMm: body.x, yMm: top, widthMm: body.width, heightMm: height },
      COLUMNS,
    );
    for (const [stretch, { xMm, widthMm }] of pairsOf(stretches.slice(first, first + COLUMNS), columns)) {
      const picture = options.pictures.get(stretch.seam.id);
      page.items.push(...stretchItems(context, stretch, picture, { x: xMm, y: top, width: widthMm, height }));
    }
    page.items.push(...checkLine(context, { x: body.x, y: rectBottom(body) - CHECK_MM }));
    pages.push(page);
  }
  return sheetsWithTexts(context, SEAM_SHEET, pages);
}

const TAG = 'seam sheet';

function introItems(context: SheetContext, isEmpty: boolean, body: Rect): Item[] {
  const { job, fonts } = context;
  const { apartMm, alongMm } = seamShiftOf(job);
  const off = (mm: Mm) => typedLengthText(Math.abs(mm), job.displayUnit);
  const across =
    apartMm === 0
      ? 'in place across the seam'
      : `${off(apartMm)} ${apartMm > 0 ? 'away from' : 'toward'} its neighbor`;
  const text = isEmpty
    ? 'No two panels with artwork meet at a seam, so there is none to show.'
    : `As installed, with the panel on top ${across} and ${alongMm === 0 ? 'in place' : `${off(alongMm)} off`} along the seam, and the step of its film. Of panels that meet edge to edge, the second is off; gray is the vehicle. Colors are those of an office printer.`;
  const style = bodyStyle(context);
  const { lines } = textWrapped(fonts, text, style, body.width, INTRO_LINES);
  return [...textLines(fonts, lines, style, { at: body, tag: TAG })];
}

/** Its name, kind and viewing distance; then the picture with a mark at each end of the seam. */
function stretchItems(
  context: SheetContext,
  stretch: SeamStretch,
  picture: RasterPicture | undefined,
  cell: Rect,
): Item[] {
  const { fonts, job, size } = context;
  const shown = shownWindow(job, stretch);
  const rect: Rect = {
    x: cell.x + TICK_MM,
    y: cell.y + linesMm(size, CAPTION_LINES) + GAP_MM + TICK_MM,
    width: shown.width,
    height: shown.height,
  };
  const [name = '', ...words] = captionTexts(job, stretch);
  const head = textWrapped(fonts, name, boldStyle(context), cell.width, 1);
  const told = textWrapped(fonts, words.join(' '), bodyStyle(context), cell.width, CAPTION_LINES - 1);
  const whole = rectGrown(rect, edgeLengthsAll(MOST_SEAM_OFF_MM));
  return [
    ...textLines(fonts, head.lines, boldStyle(context), { at: cell, tag: TAG }),
    ...textLines(fonts, told.lines, bodyStyle(context), {
      at: { x: cell.x, y: cell.y + linesMm(size, 1) },
      tag: TAG,
    }),
    picture
      ? { kind: 'picture', tag: 'seam picture', rect: whole, clip: rect, picture }
      : textLine(fonts, 'Its artwork could not be drawn.', bodyStyle(context), {
          at: { x: rect.x + 3, y: rect.y + rect.height / 2 },
          tag: TAG,
        }),
    { kind: 'rect', tag: TAG, rect, stroke: THIN },
    ...seamTicks(stretch, shown, rect),
  ];
}

/** Outside the picture, where the seam enters and leaves it: inside, a good seam is hard to find. */
function seamTicks({ seam }: SeamStretch, shown: Rect, rect: Rect): Item[] {
  const isUpright = seam.direction === 'vertical';
  const ends = isUpright
    ? ([
        [shown.y, rect.y, -1],
        [rectBottom(shown), rectBottom(rect), 1],
      ] as const)
    : ([
        [shown.x, rect.x, -1],
        [rectRight(shown), rectRight(rect), 1],
      ] as const);
  return ends.flatMap(([along, edge, way]): Item[] => {
    const across = pathValue(seamPath(seam), along) - (isUpright ? shown.x : shown.y);
    if (across < 0 || across > (isUpright ? rect.width : rect.height)) return [];
    const [from, to] = [edge + way * 0.4, edge + way * TICK_MM];
    const at = (isUpright ? rect.x : rect.y) + across;
    return [
      {
        kind: 'line',
        tag: 'seam tick',
        from: isUpright ? { x: at, y: from } : { x: from, y: at },
        to: isUpright ? { x: at, y: to } : { x: to, y: at },
        stroke: MEDIUM,
      },
    ];
  });
}

function captionTexts(job: Job, { layout, seam, name, alongMm, crosses, distanceMm }: SeamStretch): string[] {
  const unit = job.displayUnit;
  const along = sheetLengthWithUnit(alongMm, unit);
  const from = seam.direction === 'vertical' ? 'top' : 'left';
  const where = `At ${along} from the ${from} of the side${crosses === undefined ? '' : `, through ${crosses}`}.`;
  return [
    name,
    meetingText(layout, seam, alongMm, unit),
    where,
    `Look from ${viewingDistanceText(distanceMm, unit)}.`,
  ];
}

/** `LH-02 over LH-01, printed overlap 25 mm.` */
function meetingText({ panels }: SideLayout, seam: Seam, alongMm: Mm, unit: Job['displayUnit']): string {
  const labels = (ids: readonly string[]) =>
    listText(
      panels
        .filter((panel) => ids.includes(panel.id) && isAt(panel, seam, alongMm))
        .map(({ label }) => label),
    );
  const [first, second] = [labels(seam.firstPanelIds), labels(seam.secondPanelIds)];
  if (seam.joint === 'butt') return `${first} and ${second}, edge to edge.`;
  if (seam.joint === 'gap') return `${first} and ${second}, apart at a gap of the body.`;
  const [top, below] = seam.top === 'first' ? [first, second] : [second, first];
  return `${top} over ${below}, printed overlap ${sheetLengthWithUnit(seam.overlapMm, unit)}.`;
}

function isAt({ net }: Panel, { direction }: Seam, alongMm: Mm): boolean {
  const [start, length] = direction === 'vertical' ? [net.y, net.height] : [net.x, net.width];
  return alongMm >= start && alongMm <= start + length;
}

/** A line of known length, to check that the page was printed at true size. */
function checkLine(context: SheetContext, { x, y }: { readonly x: Mm; readonly y: Mm }): Item[] {
  const { fonts, job } = context;
  const length = job.displayUnit === 'mm' ? 100 : 4 * MM_PER_INCH;
  const middle = y + CHECK_MM / 2;
  const line = (x1: Mm, y1: Mm, x2: Mm, y2: Mm): Item => ({
    kind: 'line',
    tag: 'check line',
    from: { x: x1, y: y1 },
    to: { x: x2, y: y2 },
    stroke: MEDIUM,
  });
  const tick = (at: Mm) => line(at, middle - TICK_MM, at, middle + TICK_MM);
  const style = bodyStyle(context);
  const text = `This line is ${sheetLengthWithUnit(length, job.displayUnit)} long. If it is not, print again at actual size, not fitted to the page.`;
  return [
    line(x, middle, x + length, middle),
    tick(x),
    tick(x + length),
    textLine(fonts, text, style, {
      at: { x: x + length + 4, y: middle + style.sizeMm / 3 },
      tag: 'check line',
    }),
  ];
}
