import { type Item, type RasterPicture, TEXT_ASCENT } from '../drawing/drawing.ts';
import { linesHeight, styleOf, textLine } from '../drawing/text-block.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import { firstOf, itemAt, present } from '../measure/present.ts';
import { type Rect, rectPoints } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';
import { COLUMN_GAP_MM, columnPages, columnsOf, isTwoColumns } from './column-pages.ts';
import { EDGE_LABEL_SIZES, type LabelWay } from './edge-labels.ts';
import {
  blocksTakenAlong,
  closerContexts,
  type FilledPages,
  fewestPages,
  pagesFilled,
  TAKEN_ALONG,
} from './fewest-pages.ts';
import type { Column } from './flow.ts';
import { bodyRect, type PageDraft } from './page-frame.ts';
import { areNumbersReadable, BETWEEN_SCALE, partPages } from './part-pages.ts';
import { seamItems } from './seam-symbols.ts';
import type { SheetContext } from './sheet-context.ts';
import { largestScale, scaleDesignation } from './sheet-scale.ts';
import { sideBlocks } from './side-blocks.ts';
import { sideKeys } from './side-keys.ts';
import {
  freeAreaItems,
  LABEL_LENGTHS,
  type LabelLength,
  type SidePictureParts,
  sideBands,
  sideLabels,
  sidePicture,
} from './side-picture.ts';

/** A picture no wider than this share of the page has its tables beside it. */
const NARROW_SHARE = 0.5;
/** Less room under a picture stays empty, because a table divided after two rows is hard to read. */
const MIN_TABLES_MM: Mm = 34;
const LEGEND_ROW_MM: Mm = 5;

/** The place of the picture of a side on its page. */
interface Fit {
  readonly oneTo: number;
  readonly way: LabelWay;
  readonly labels: LabelLength;
  readonly isNarrow: boolean;
}

/**
 * The largest standard scale at which the picture fits a sheet, with the ways to label it, best first. A picture twice
 * as large justifies smaller labels; large figures justify shorter notes, which the tables have in full.
 */
function pictureFits(parts: SidePictureParts, body: Rect): Fit[] {
  const { frame } = parts;
  const roomAbove = (isNarrow: boolean) =>
    body.height - legend(parts.context, legendWidth(body, isNarrow)).heightMm;
  const [roomWide, roomNarrow] = [roomAbove(false), roomAbove(true)];
  const isTooLarge = (oneTo: number) => frame.width / oneTo > body.width || frame.height / oneTo > roomWide;
  const labelsOf = new Map(LABEL_LENGTHS.map((labels) => [labels, sideLabels({ ...parts, labels })]));
  const fitsAt = (oneTo: number): Fit[] => {
    // Labels are measured only where the bare picture fits.
    if (isTooLarge(oneTo)) return [];
    return EDGE_LABEL_SIZES.slice(0, -1).flatMap((sizeMm) =>
      [true, false].flatMap((isFlat) =>
        LABEL_LENGTHS.flatMap((labels): Fit[] => {
          const way = { sizeMm, isFlat };
          const bands = sideBands(parts, way, oneTo, labelsOf.get(labels));
          const widthMm = frame.width / oneTo + bands.left + bands.right;
          const heightMm = frame.height / oneTo + bands.top + bands.bottom;
          const isNarrow = widthMm <= body.width * NARROW_SHARE;
          if (widthMm > body.width || heightMm > (isNarrow ? roomNarrow : roomWide)) return [];
          return [{ oneTo, way, labels, isNarrow }];
        }),
      ),
    );
  };
  const last: Omit<Fit, 'oneTo'> = {
    way: { sizeMm: itemAt(EDGE_LABEL_SIZES, EDGE_LABEL_SIZES.length - 2), isFlat: false },
    labels: 'short',
    isNarrow: false,
  };
  const standard = largestScale((scale) => fitsAt(scale).length > 0);
  // A scale between two standard ones, if it avoids dividing the side.
  const isBetween =
    BETWEEN_SCALE < standard && !areNumbersReadable(parts, standard) && fitsAt(BETWEEN_SCALE).length > 0;
  const oneTo = isBetween ? BETWEEN_SCALE : standard;
  const [first = { oneTo, ...last }, ...others] = fitsAt(oneTo);
  const shorter = LABEL_LENGTHS.slice(LABEL_LENGTHS.indexOf(first.labels) + 1).flatMap(
    (length) => others.find(({ labels }) => labels === length) ?? [],
  );
  return [first, ...shorter];
}

/**
 * Pages of one side: its picture at the largest standard scale that fits, then its tables beside it, below it or on
 * separate pages.
 */
export function sidePages(
  context: SheetContext,
  layout: SideLayout,
  artwork: RasterPicture | undefined,
  hasCrewPage: boolean,
): PageDraft[] {
  const keys = sideKeys(layout);
  const whole: SidePictureParts = { context, layout, keys, artwork, frame: layout.outline };
  const fits = pictureFits(whole, bodyRect(context.size));
  const drawn = fits.map((fit) => ({ fit, picture: pictureDrawn(whole, fit) }));
  const counts = isTwoColumns(bodyRect(context.size)) ? [2] : [1, 2];
  const waysWith = (takenAlong: number) =>
    counts.flatMap((count) =>
      drawn.flatMap(({ fit, picture }) =>
        closerContexts(context).map((closer) => () => {
          const tables = { count, hasCrewPage, takenAlong };
          return tablePages({ ...whole, context: closer }, fit, picture(), tables);
        }),
      ),
    );
  const [first, ...rest] = fewestPages(waysWith(0), TAKEN_ALONG.flatMap(waysWith));
  return [present(first, 'A page of a side'), ...partPages(whole, firstOf(fits).oneTo), ...rest];
}

interface DrawnPicture {
  readonly items: readonly Item[];
  readonly widthMm: Mm;
  readonly heightMm: Mm;
}

/** The picture of a side at its place on the page, drawn once for all table layouts. */
function pictureDrawn(whole: SidePictureParts, { oneTo, way, labels, isNarrow }: Fit) {
  let drawn: DrawnPicture | undefined;
  return (): DrawnPicture => {
    if (!drawn) {
      const body = bodyRect(whole.context.size);
      const { widthMm, heightMm, draw } = sidePicture({ ...whole, labels }, oneTo, way);
      const x = body.x + (isNarrow ? 0 : (body.width - widthMm) / 2);
      drawn = { items: draw(x, body.y), widthMm, heightMm };
    }
    return drawn;
  };
}

const sideName = ({ side }: SideLayout): string => `${side.code} · ${side.name}`;

/** Layout of a side's tables. */
interface TablesWay {
  /** Number of columns; a small sheet has two where that saves a page. */
  readonly count: number;
  readonly hasCrewPage: boolean;
  /** Number of last blocks that begin in a new column; 0 leaves them where they fit. */
  readonly takenAlong: number;
}

/** The page with the picture, and the tables beside it, below it and on separate pages. */
function tablePages(
  whole: SidePictureParts,
  { oneTo, isNarrow }: Fit,
  picture: DrawnPicture,
  { count: columnCount, hasCrewPage, takenAlong }: TablesWay,
): FilledPages {
  const { context, layout, keys } = whole;
  const body = bodyRect(context.size);
  const { side, panels } = layout;

  const name = sideName(layout);
  const again = panels.filter(({ id }) => context.reprintedIds.has(id)).map(({ label }) => label);
  const counted = `${panels.length} ${panels.length === 1 ? 'panel' : 'panels'}`;
  const title = again.length > 0 ? `${name} · REPRINT ${again.join(', ')}` : `${name} · ${counted}`;
  const travel = side.front === 'none' ? {} : { travel: side.front };
  const first: PageDraft = { head: { title, scale: scaleDesignation(oneTo), ...travel }, items: [] };
  const widthMm = legendWidth(body, isNarrow);
  // Beside a short seam, turned text may extend below the picture.
  const textEnds = picture.items.map((item) =>
    item.kind === 'text' && item.tag.startsWith('seam text') ? item.at.y : 0,
  );
  const legendY = Math.max(body.y + picture.heightMm, ...textEnds) + 1.5;
  const key = legend(context, widthMm);
  first.items.push(...picture.items, ...key.draw(body.x + 1, legendY));

  const below = legendY + key.heightMm;
  const roomBelow = body.y + body.height - below;
  const free: readonly Column[] = isNarrow
    ? [
        besideColumn(first, body, Math.max(picture.widthMm, widthMm)),
        ...(roomBelow >= MIN_TABLES_MM
          ? columnsOf(first, { xMm: body.x, yMm: below, widthMm, heightMm: roomBelow }, 1)
          : []),
      ]
    : roomBelow >= MIN_TABLES_MM
      ? columnsOf(first, { xMm: body.x, yMm: below, widthMm: body.width, heightMm: roomBelow }, columnCount)
      : [];
  const emptyFoot = free.length === 0 ? 1 : 0;
  const own = sideBlocks(context, layout, keys, hasCrewPage);
  const blocks = blocksTakenAlong(own, takenAlong);
  const columns = columnPages(context, name, columnCount, { page: first, columns: free });
  const filled = pagesFilled(context, blocks, columns);
  return { ...filled, faults: emptyFoot + filled.faults };
}

function besideColumn(page: PageDraft, body: Rect, takenMm: Mm): Column {
  const x = body.x + takenMm + COLUMN_GAP_MM;
  return {
    xMm: x,
    yMm: body.y,
    widthMm: body.x + body.width - x,
    heightMm: body.height,
    items: page.items,
  };
}

const legendWidth = (body: Rect, isNarrow: boolean): Mm =>
  isNarrow ? body.width * NARROW_SHARE - COLUMN_GAP_MM : body.width;

interface Legend {
  readonly heightMm: Mm;
  draw(x: Mm, y: Mm): Item[];
}

/** A legend of samples, in as many rows as needed. */
function legend({ fonts }: SheetContext, widthMm: Mm): Legend {
  const style = styleOf('regular', 3);
  const sample = (at: Mm, middle: Mm, joint: 'lap' | 'butt' | 'gap'): Item[] =>
    seamItems({
      points: [
        { x: at, y: middle },
        { x: at + 12, y: middle },
      ],
      joint,
      over: { x: 0, y: -1 },
    });
  const entries: readonly { width: Mm; text: string; draw: (at: Mm, middle: Mm) => Item[] }[] = [
    {
      width: 12,
      text: 'overlap seam: teeth stand on the panel that lies on top',
      draw: (at, middle) => sample(at, middle, 'lap'),
    },
    { width: 12, text: 'butt seam', draw: (at, middle) => sample(at, middle, 'butt') },
    { width: 12, text: 'body-gap seam', draw: (at, middle) => sample(at, middle, 'gap') },
    {
      width: 9,
      text: 'no film',
      draw: (at, middle) => freeAreaItems(rectPoints({ x: at, y: middle - 2, width: 9, height: 4 })),
    },
    { width: 0, text: '↓ from the top edge, ↑ from the bottom edge', draw: () => [] },
  ];
  let [at, top] = [0, 0];
  const placed = entries.map((entry) => {
    const needed = entry.width + 1.5 + fonts.width(entry.text, style.role, style.sizeMm);
    if (at > 0 && at + needed > widthMm - 1) [at, top] = [0, top + LEGEND_ROW_MM];
    const place = { ...entry, x: at, y: top };
    at += needed + 6;
    return place;
  });
  return {
    heightMm: top + LEGEND_ROW_MM + 1,
    draw: (left, topMm) =>
      placed.flatMap(({ width, text, draw, x, y }) => [
        ...draw(left + x, topMm + y + linesHeight(1, style.sizeMm) / 2),
        textLine(fonts, text, style, {
          at: { x: left + x + width + 1.5, y: topMm + y + style.sizeMm * TEXT_ASCENT },
          tag: 'legend',
        }),
      ]),
  };
}
