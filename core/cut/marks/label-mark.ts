import type { FontMetrics } from '../../drawing/font-library.ts';
import { styleOf, textFitted, textLine } from '../../drawing/text-block.ts';
import type { Job } from '../../job/schema.ts';
import type { Panel } from '../../layout/panel.ts';
import type { SideLayout } from '../../layout/side-layout.ts';
import type { Mm } from '../../measure/units.ts';
import { letterSize, type MarkBlock, MIN_LETTER_SIZE_MM, rowBaseline, textMarkFitted } from './mark-block.ts';
import type { MarkLane } from './mark-lane.ts';

const TAG = 'label';
const GAP_MM: Mm = 5;
/** Under this much room for the names, one line for all reads better than two short ones. */
const MIN_NAMES_MM: Mm = 60;
/** A pasted page of text must not push other marks off the longest edge. */
const MAX_NAMES_MM: Mm = 600;

/**
 * Which panel this is: label in large letters, then n of m, enlargement, side and job. A short edge gets one
 * line, the shortest the label alone; the enlargement is never left out, because a print at the wrong size is waste.
 */
export function labelMark(
  job: Job,
  layout: SideLayout,
  panel: Panel,
  lane: MarkLane,
  roomMm: Mm,
  fonts: FontMetrics,
): MarkBlock | undefined {
  const factor = job.output.size.kind === 'reduction' ? ` · ENLARGE ×${job.output.size.factor}` : '';
  const count = `${panel.number} of ${layout.panels.length}`;
  const size = letterSize(lane.depthMm, 0.28, 7);
  if (size === undefined) return undefined;

  const bigSize = letterSize(lane.depthMm, 0.62, 24)!;
  const headSize = letterSize(lane.depthMm, 0.34, 9)!;
  const big = textLine(fonts, panel.label, styleOf('bold', bigSize), {
    at: { x: 0, y: rowBaseline(lane.depthMm, 1, 0, bigSize) },
    tag: TAG,
  });
  const namesAt = big.widthMm + GAP_MM;
  const namesRoom = roomMm - namesAt;
  const headText = `${count}${factor} · ${layout.side.name}`;
  const head = textFitted(
    fonts,
    headText,
    styleOf('bold', headSize),
    Math.min(namesRoom, MAX_NAMES_MM),
    MIN_LETTER_SIZE_MM,
  );
  const footText = `Job ${job.number} · ${job.name}`;
  const footRoom = Math.min(namesRoom, MAX_NAMES_MM);
  const foot = textFitted(fonts, footText, styleOf('regular', size), footRoom, MIN_LETTER_SIZE_MM);
  const hasTwoRows = lane.depthMm >= 2.4 * size && namesRoom >= MIN_NAMES_MM;
  if (hasTwoRows && head && foot) {
    const rows = [head, foot].map((row, index) =>
      textLine(fonts, row.text, row.style, {
        at: { x: namesAt, y: rowBaseline(lane.depthMm, 2, index, row.style.sizeMm) },
        tag: TAG,
      }),
    );
    const lengthMm = namesAt + Math.max(...rows.map(({ widthMm }) => widthMm));
    return { lengthMm, items: [big, ...rows] };
  }

  const must = `${panel.label}${factor} · ${count}`;
  const style = styleOf('bold', letterSize(lane.depthMm, 0.5, 12)!);
  const mustAtLeast = fonts.width(must, style.role, MIN_LETTER_SIZE_MM);
  if (mustAtLeast + 20 <= roomMm) {
    return textMarkFitted(fonts, `${must} · Job ${job.number} · ${job.name}`, style, lane, roomMm, TAG);
  }
  if (mustAtLeast <= roomMm) return textMarkFitted(fonts, must, style, lane, roomMm, TAG);
  const short = `${panel.label}${factor}`;
  const isShortEnough = fonts.width(short, style.role, MIN_LETTER_SIZE_MM) <= roomMm;
  return isShortEnough ? textMarkFitted(fonts, short, style, lane, roomMm, TAG) : undefined;
}
