import { type Item, TEXT_ASCENT } from '../drawing/drawing.ts';
import type { FontMetrics } from '../drawing/font-library.ts';
import { linesHeight, styleOf, textFitted, textLine } from '../drawing/text-block.ts';
import type { Job } from '../job/schema.ts';
import type { Panel } from '../layout/panel.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import type { Rect } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';
import { type OutputMark, reprintText } from '../output/output-mark.ts';
import { type LabelSheet, labelRect, labelsPerSheet } from './label-sheet.ts';
import type { Sheet } from './page-frame.ts';
import { panelCodeText, qrCode, qrItem } from './qr-code.ts';
import { sheetSize } from './sheet-length.ts';
import { stampAcross, stampItem } from './verdict-stamp.ts';

export const PANEL_LABELS = 'Panel labels';

export interface PanelLabelOptions {
  readonly fonts: FontMetrics;
  readonly sheet: LabelSheet;
  /** Labels that are gone from the first sheet already. */
  readonly skip?: number;
  /** Only these panels, for a reprint; all where absent. */
  readonly panelIds?: readonly string[];
  /** Whether each label says what the verification of the panels said. */
  readonly hasStamp?: boolean;
  /** Which output the labels go with. */
  readonly output?: OutputMark;
}

/** One label per panel, for the core or the box, in install order, side by side. */
export function panelLabels(
  job: Job,
  layouts: readonly SideLayout[],
  { fonts, sheet, skip = 0, panelIds, hasStamp = false, output }: PanelLabelOptions,
): readonly Sheet[] {
  const labels = layouts.flatMap((layout) =>
    layout.panels.filter(({ id }) => !panelIds || panelIds.includes(id)).map((panel) => ({ layout, panel })),
  );
  const perSheet = labelsPerSheet(sheet);
  const first = skip % perSheet;
  const count = Math.max(1, Math.ceil((first + labels.length) / perSheet));
  return Array.from(
    { length: count },
    (_, page): Sheet => ({
      title: `${PANEL_LABELS} ${page + 1} of ${count}`,
      widthMm: sheet.sheetWidthMm,
      heightMm: sheet.sheetHeightMm,
      items: labels.flatMap(({ layout, panel }, index) => {
        const place = first + index;
        if (Math.floor(place / perSheet) !== page) return [];
        return labelItems(fonts, reachableRect(sheet, labelRect(sheet, place % perSheet)), {
          job,
          layout,
          panel,
          hasStamp,
          output,
        });
      }),
    }),
  );
}

/** Room for a printer that feeds a little askew, and for round corners. */
const PAD_MM: Mm = 4;
const MAX_CODE_MM: Mm = 34;
const MIN_SIZE_MM: Mm = 2.5;
/** Lower labels say less, in letters that can still be read. */
const LOW_LABEL_MM: Mm = 36;

interface LabelSubject {
  readonly job: Job;
  readonly layout: SideLayout;
  readonly panel: Panel;
  readonly hasStamp: boolean;
  readonly output: OutputMark | undefined;
}

/** Office printers leave about 5 mm of a sheet unprinted, also where labels reach its edge. */
const UNPRINTED_MM: Mm = 6;

/** What of a label may be printed. */
function reachableRect(sheet: LabelSheet, label: Rect): Rect {
  const left = Math.max(label.x + PAD_MM, UNPRINTED_MM);
  const top = Math.max(label.y + PAD_MM, UNPRINTED_MM);
  const right = Math.min(label.x + label.width - PAD_MM, sheet.sheetWidthMm - UNPRINTED_MM);
  const bottom = Math.min(label.y + label.height - PAD_MM, sheet.sheetHeightMm - UNPRINTED_MM);
  return { x: left, y: top, width: right - left, height: bottom - top };
}

function labelItems(fonts: FontMetrics, room: Rect, subject: LabelSubject): Item[] {
  const { job, panel, hasStamp, output } = subject;
  const tag = `label ${panel.label}`;
  const codeMm = Math.min(MAX_CODE_MM, room.height, room.width * 0.42);
  const codeX = room.x + room.width - codeMm;
  const code = qrItem(qrCode(panelCodeText(job, panel, output)), codeX, room.y, codeMm, `${tag} code`);
  const textWidth = codeX - room.x - 1;

  const lines = labelLines(subject, room.height < LOW_LABEL_MM);
  // Sizes follow the height of the label, so that all lines stand in it however low it is.
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
const STAMP = Symbol('stamp');
/** Of the height of its line, so that the box keeps clear of the lines beside it. */
const STAMP_SHARE = 0.9;

interface LabelLine {
  readonly text: string | typeof STAMP;
  readonly share: number;
  readonly isStrong: boolean;
}

function labelLines({ job, layout, panel, hasStamp, output }: LabelSubject, isLow: boolean): LabelLine[] {
  const unit = job.displayUnit;
  const place = `${panel.number} of ${layout.panels.length} · ${layout.side.name}`;
  const visible = `Visible ${sheetSize(panel.net, unit)} ${unit}`;
  const strong = (text: string, share: number): LabelLine => ({ text, share, isStrong: true });
  const plain = (text: string): LabelLine => ({ text, share: 1, isStrong: false });
  const again: readonly LabelLine[] = output?.reprint
    ? [strong(reprintText(output, job.dateOrder), 1.1)]
    : [];
  const reason: readonly LabelLine[] = output?.reprint?.reason ? [plain(output.reprint.reason)] : [];
  const number = output && !output.reprint ? ` · Output ${output.number}` : '';
  const word: readonly LabelLine[] = hasStamp ? [{ text: STAMP, share: 1, isStrong: true }] : [];
  if (isLow) {
    return [
      strong(panel.label, 2.4),
      ...again,
      ...word,
      strong(place, 1.2),
      strong(`Job ${job.number}${number}`, 1),
      ...reason,
      plain(visible),
    ];
  }
  return [
    strong(panel.label, 3),
    ...again,
    ...reason,
    ...word,
    strong(place, 1.3),
    strong(`Job ${job.number}${number}`, 1.1),
    plain(job.name),
    plain(job.customer),
    plain(`Install ${panel.order} of ${layout.panels.length}`),
    plain(visible),
  ];
}
