/** Labels on sheets of labels: each with a code and lines of text. */
import { type Item, TEXT_ASCENT } from '../drawing/drawing.ts';
import type { FontMetrics } from '../drawing/font-library.ts';
import { linesHeight, styleOf, textFitted, textLine } from '../drawing/text-block.ts';
import type { Rect } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';
import { type LabelSheet, labelRect, labelsPerSheet } from './label-sheet.ts';
import type { Sheet } from './page-frame.ts';
import { qrCode, qrItem } from './qr-code.ts';
import { stampAcross, stampItem } from './verdict-stamp.ts';

export interface Label {
  readonly tag: string;
  /** Content of its code. */
  readonly codeText: string;
  /** From the top; lower labels have less text. */
  lines(isLow: boolean): readonly LabelLine[];
  /** Whether it has the verification status. */
  readonly hasStamp?: boolean;
}

export interface LabelPageOptions {
  readonly fonts: FontMetrics;
  readonly sheet: LabelSheet;
  /** Labels already used on the first sheet. */
  readonly skip?: number;
}

/** One label each, side by side. */
export function labelPages(
  title: string,
  labels: readonly Label[],
  { fonts, sheet, skip = 0 }: LabelPageOptions,
): readonly Sheet[] {
  const perSheet = labelsPerSheet(sheet);
  const first = skip % perSheet;
  const count = Math.max(1, Math.ceil((first + labels.length) / perSheet));
  return Array.from(
    { length: count },
    (_, page): Sheet => ({
      title: `${title} ${page + 1} of ${count}`,
      widthMm: sheet.sheetWidthMm,
      heightMm: sheet.sheetHeightMm,
      items: labels.flatMap((label, index) => {
        const place = first + index;
        if (Math.floor(place / perSheet) !== page) return [];
        return labelItems(fonts, reachableRect(sheet, labelRect(sheet, place % perSheet)), label);
      }),
    }),
  );
}

/** Room for printers that feed slightly askew, and for round corners. */
const PAD_MM: Mm = 4;
const MAX_CODE_MM: Mm = 34;
const MIN_SIZE_MM: Mm = 2.5;
/** Labels lower than this have less text, so that it stays readable. */
const LOW_LABEL_MM: Mm = 36;

/** Office printers leave about 5 mm of a sheet unprinted, even where labels extend to its edge. */
const UNPRINTED_MM: Mm = 6;

/** The printable part of a label. */
function reachableRect(sheet: LabelSheet, label: Rect): Rect {
  const left = Math.max(label.x + PAD_MM, UNPRINTED_MM);
  const top = Math.max(label.y + PAD_MM, UNPRINTED_MM);
  const right = Math.min(label.x + label.width - PAD_MM, sheet.sheetWidthMm - UNPRINTED_MM);
  const bottom = Math.min(label.y + label.height - PAD_MM, sheet.sheetHeightMm - UNPRINTED_MM);
  return { x: left, y: top, width: right - left, height: bottom - top };
}

function labelItems(fonts: FontMetrics, room: Rect, label: Label): Item[] {
  const { tag, codeText, hasStamp = false } = label;
  const codeMm = Math.min(MAX_CODE_MM, room.height, room.width * 0.42);
  const codeX = room.x + room.width - codeMm;
  const code = qrItem(qrCode(codeText), codeX, room.y, codeMm, `${tag} code`);
  const textWidth = codeX - room.x - 1;

  const lines = label.lines(room.height < LOW_LABEL_MM);
  // Sizes follow the label height, so that all lines fit even on a low label.
  const unit = room.height / lines.reduce((sum, { share }) => sum + share, 0);
  const items: Item[] = [code];
  let y = room.y;
  for (const { text, share, isStrong } of lines) {
    const size = (unit * share) / linesHeight(1, 1);
    const isBesideCode = y < room.y + codeMm;
    const width = isBesideCode ? textWidth : room.width;
    if (text === STAMP) {
      const height = unit * share * STAMP_SHARE;
      const at = { x: room.x, y: y + (unit * share - height) / 2 };
      items.push(stampItem(fonts, { at, anchor: 'start' }, tag, { widthMm: width, heightMm: height }));
      y += unit * share;
      continue;
    }
    const style = styleOf(isStrong ? 'bold' : 'regular', Math.min(size, isStrong ? 16 : 5));
    const fitted = textFitted(fonts, text, style, width, Math.min(MIN_SIZE_MM, style.sizeMm));
    if (fitted) {
      const at = { x: room.x, y: y + fitted.style.sizeMm * TEXT_ASCENT };
      items.push(textLine(fonts, fitted.text, fitted.style, { at, tag }));
    }
    y += unit * share;
  }
  if (hasStamp) items.push(stampAcross(fonts, room));
  return items;
}

/** In place of the text of a line. */
export const STAMP = Symbol('stamp');
/** Share of the line height, so that the box stays clear of neighboring lines. */
const STAMP_SHARE = 0.9;

export interface LabelLine {
  readonly text: string | typeof STAMP;
  readonly share: number;
  readonly isStrong: boolean;
}
