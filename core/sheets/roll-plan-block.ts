import { BLACK, type Item, THIN } from '../drawing/drawing.ts';
import { linesHeight, styleOf, textFitted, textLine } from '../drawing/text-block.ts';
import { lastOf, present } from '../measure/present.ts';
import { type Rect, rectPoints } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';
import { headingPiece } from './blocks.ts';
import type { FlowBlock, FlowPiece } from './flow.ts';
import {
  CUT_STROKE,
  FILM_LEFT,
  leadOutRoom,
  ROW_MARGIN_MM,
  type RowStyle,
  rollRowPiece,
  topMark,
} from './roll-picture.ts';
import { type RollOnPlan, type RollRow, rollRows } from './roll-rows.ts';
import { keepLongText, type SheetContext } from './sheet-context.ts';
import { sheetFilmLength, sheetLengthWithUnit } from './sheet-length.ts';
import { REDUCTION_SCALES, scaleDesignation } from './sheet-scale.ts';
import { freeAreaItems } from './side-picture.ts';

/** A roll drawn lower than this shows nothing useful. */
const MIN_ROLL_MM: Mm = 6;
const MUCH_HIGHER = 1.5;
const CAPTION_STYLE = styleOf('bold', 3.5);
const KEY_STYLE = styleOf('regular', 3);

/**
 * The scales of ISO 5455 at which the rolls fit columns of this width, drawn no higher than `heightMm`; the largest
 * first. Where they fit at none, the largest at which they are not much higher than necessary: on small rolls, labels
 * are led out and stacked above.
 */
export function rollPlanScales(
  context: SheetContext,
  rolls: readonly RollOnPlan[],
  widthMm: Mm,
  heightMm: Mm,
): readonly [number, ...number[]] {
  const drawable = REDUCTION_SCALES.flatMap((oneTo) => {
    const pieces = piecesAt(context, rolls, oneTo, widthMm);
    return pieces ? [{ oneTo, high: pieces.reduce((sum, piece) => sum + piece.heightMm, 0) }] : [];
  });
  const seen = drawable.filter(({ oneTo }) => rolls.every(({ roll }) => roll.widthMm / oneTo >= MIN_ROLL_MM));
  const [first, ...others] = seen.flatMap(({ oneTo, high }) => (high <= heightMm ? [oneTo] : []));
  if (first !== undefined) return [first, ...others];
  const least = Math.min(...seen.map(({ high }) => high));
  const largest = seen.find(({ high }) => high <= least * MUCH_HIGHER) ?? drawable[0];
  return [largest?.oneTo ?? lastOf(REDUCTION_SCALES)];
}

/** The rolls of a nesting in rows, with a legend. */
export const rollPlanBlock =
  (context: SheetContext, rolls: readonly RollOnPlan[], oneTo: number): FlowBlock =>
  (widthMm) => {
    const pieces = piecesAt(context, rolls, oneTo, widthMm);
    if (!pieces) throw new Error(`a roll does not fit a column of ${widthMm} mm at 1:${oneTo}`);
    return pieces;
  };

/** Undefined where a row would be wider than the column. */
function piecesAt(
  context: SheetContext,
  rolls: readonly RollOnPlan[],
  oneTo: number,
  widthMm: Mm,
): FlowPiece[] | undefined {
  const style: RowStyle = { fonts: context.fonts, oneTo, unit: context.job.displayUnit };
  const pieces: FlowPiece[] = [
    headingPiece(context, `Nesting · ${scaleDesignation(oneTo)}`, widthMm, 'roll plan'),
  ];
  for (const each of rolls) {
    const rows = rowsAt(each, style, widthMm);
    if (!rows) return undefined;
    pieces.push(captionPiece(context, each, widthMm), ...rows.map((row) => rollRowPiece(row, style)));
  }
  return [...pieces, ...keyPieces(context, widthMm)];
}

function rowsAt(each: RollOnPlan, style: RowStyle, widthMm: Mm): RollRow[] | undefined {
  const rowsOf = (roomMm: Mm) => rollRows(each, (widthMm - ROW_MARGIN_MM - roomMm) * style.oneTo);
  const rows = rowsOf(ROW_MARGIN_MM);
  if (!rows) return undefined;
  const leadOut = Math.max(0, ...rows.map((row) => leadOutRoom(row, style)));
  return leadOut > ROW_MARGIN_MM ? rowsOf(leadOut) : rows;
}

function captionPiece(context: SheetContext, { roll, use }: RollOnPlan, widthMm: Mm): FlowPiece {
  const { fonts, job } = context;
  const used = sheetFilmLength(use.usedLengthMm, job.displayUnit);
  const wide = sheetLengthWithUnit(roll.widthMm, job.displayUnit);
  const facts = `${wide} wide · ${used} used · ${use.wastePercent.toFixed(1)} % of it waste`;
  const factsWidth = fonts.width(facts, 'regular', CAPTION_STYLE.sizeMm);
  const name = textFitted(fonts, roll.label, CAPTION_STYLE, widthMm - factsWidth - 4, 2.5);
  if (name?.isCut) keepLongText(context, 'Roll', roll.label);
  const tag = `caption ${roll.id}`;
  return {
    heightMm: 5.6,
    isHeading: true,
    draw: (x, y) => [
      ...(name ? [textLine(fonts, name.text, name.style, { at: { x, y: y + 4 }, tag })] : []),
      textLine(fonts, facts, styleOf('regular', CAPTION_STYLE.sizeMm), {
        at: { x: x + widthMm, y: y + 4 },
        anchor: 'end',
        tag,
      }),
    ],
  };
}

interface KeyEntry {
  readonly text: string;
  readonly widthMm: Mm;
  sample(rect: Rect): readonly Item[];
}

const KEY_TAG = 'key of the roll plan';
const SAMPLE_MM: Mm = 6;

const KEY: readonly KeyEntry[] = [
  {
    text: 'film runs this way, its start first',
    widthMm: 9,
    sample: ({ x, y, width, height }) => [runsThisWay(x, y + height / 2, width)],
  },
  {
    text: 'top edge; turned = 90° clockwise, top at the film’s right edge',
    widthMm: 5,
    sample: ({ x, y }) => [
      topMark({ x, y: y + 0.4 }, false, KEY_TAG),
      topMark({ x: x + 2.8, y: y + 0.4 }, true, KEY_TAG),
    ],
  },
  { text: 'lead-in and tail', widthMm: SAMPLE_MM, sample: (rect) => freeAreaItems(rectPoints(rect)) },
  {
    text: 'remaining film',
    widthMm: SAMPLE_MM,
    sample: (rect) => [{ kind: 'rect', tag: KEY_TAG, rect, fill: FILM_LEFT, stroke: THIN }],
  },
  {
    text: 'cut: across the roll first, then each band by its numbers',
    widthMm: SAMPLE_MM,
    sample: ({ x, y, width, height }) => [
      {
        kind: 'line',
        tag: KEY_TAG,
        from: { x, y: y + height / 2 },
        to: { x: x + width, y: y + height / 2 },
        stroke: CUT_STROKE,
      },
    ],
  },
];

function runsThisWay(x: Mm, y: Mm, length: Mm): Item {
  const outline: readonly (readonly [Mm, Mm])[] = [
    [0, 0],
    [3, -1.4],
    [3, -0.4],
    [length, -0.4],
    [length, 0.4],
    [3, 0.4],
    [3, 1.4],
  ];
  return {
    kind: 'polygon',
    tag: KEY_TAG,
    points: outline.map(([dx, dy]) => ({ x: x + dx, y: y + dy })),
    fill: BLACK,
  };
}

/** Legend entries in sequence, in as many lines as needed. */
function keyPieces({ fonts }: SheetContext, widthMm: Mm): FlowPiece[] {
  const lines: { entry: KeyEntry; x: Mm; text: string }[][] = [];
  let x = Number.POSITIVE_INFINITY;
  for (const entry of KEY) {
    const room = widthMm - entry.widthMm - 1.2;
    const fitted = textFitted(fonts, entry.text, KEY_STYLE, room, KEY_STYLE.sizeMm);
    const { text } = present(fitted, 'The text of a key');
    const needed = entry.widthMm + 1.2 + fonts.width(text, KEY_STYLE.role, KEY_STYLE.sizeMm);
    if (x + needed > widthMm) {
      lines.push([]);
      x = 0;
    }
    lastOf(lines).push({ entry, x, text });
    x += needed + 5;
  }
  const heightMm = linesHeight(1, KEY_STYLE.sizeMm) + 0.6;
  return lines.map((line) => ({
    heightMm,
    draw: (left, y) =>
      line.flatMap(({ entry, x: shift, text }) => [
        ...entry.sample({ x: left + shift, y: y + 0.6, width: entry.widthMm, height: 2.6 }),
        textLine(fonts, text, KEY_STYLE, {
          at: { x: left + shift + entry.widthMm + 1.2, y: y + 2.9 },
          tag: KEY_TAG,
        }),
      ]),
  }));
}
