import type { Item } from '../../drawing/drawing.ts';
import type { FontMetrics } from '../../drawing/font-library.ts';
import { styleOf, textFitted, textLine } from '../../drawing/text-block.ts';
import { hasSeveralFilms, jobFilm } from '../../job/job-films.ts';
import type { Job } from '../../job/schema.ts';
import type { Panel } from '../../layout/panel.ts';
import type { SideLayout } from '../../layout/side-layout.ts';
import type { Point } from '../../measure/rect.ts';
import type { Mm } from '../../measure/units.ts';
import { filmCodeText, qrCode, qrItem, qrModuleMm } from '../../sheets/qr-code.ts';
import {
  arrowMark,
  blockRow,
  letterSize,
  type MarkBlock,
  MIN_LETTER_SIZE_MM,
  rowBaseline,
  textMark,
  textMarkFitted,
} from './mark-block.ts';
import type { MarkLane } from './mark-lane.ts';

const TAG = 'label';
const GAP_MM: Mm = 5;
/** With less room than this for the names, one line for all reads better than two short ones. */
const MIN_NAMES_MM: Mm = 60;
/** Limit for the names: a pasted page of text must not push other marks off the longest edge. */
const MAX_NAMES_MM: Mm = 300;
/** The share of the room that names may take, because the neighbors' names are at the same edge. */
const NAMES_SHARE = 0.4;
/** Smaller modules cannot be scanned from film that was handled. */
const MIN_MODULE_MM: Mm = 0.4;

export interface LabelSubject {
  readonly job: Job;
  readonly layout: SideLayout;
  readonly panel: Panel;
  /** First digits of the hash of what the panel shows. */
  readonly shown: string;
}

/**
 * Identifies the panel: a code, the number in large letters, its place in the install order, enlargement, side and job,
 * and where top and front are. A short edge gets less, the shortest only the number. The enlargement is never left out,
 * because a print at the wrong size is waste. Keeps MK3.
 */
export function labelMark(
  subject: LabelSubject,
  lane: MarkLane,
  roomMm: Mm,
  fonts: FontMetrics,
): MarkBlock | undefined {
  const code = codeBlock(subject, lane);
  const name = numberBlock(subject, lane, fonts);
  if (!name) return undefined;
  const arrows = arrowBlocks(subject, lane, fonts);
  const ends: readonly (readonly (MarkBlock | undefined)[])[] = [[code, ...arrows], [code], arrows, []];
  for (const [before, ...after] of ends.map((parts) =>
    parts[0] === code && code ? parts : [undefined, ...parts],
  )) {
    const fixed = blockRow([before, name, ...after], GAP_MM);
    const namesRoom = Math.min(MAX_NAMES_MM, roomMm * NAMES_SHARE, roomMm - fixed.lengthMm - GAP_MM);
    const names = namesRoom >= MIN_NAMES_MM ? namesBlock(subject, lane, namesRoom, fonts) : undefined;
    if (names) return blockRow([before, name, names, ...after], GAP_MM);
  }
  return lineBlock(subject, lane, roomMm, fonts);
}

/** Whether the label includes the arrows. */
export const hasArrows = ({ items }: MarkBlock): boolean => items.some(({ kind }) => kind === 'polygon');

function codeBlock({ job, panel, shown }: LabelSubject, lane: MarkLane): MarkBlock | undefined {
  const code = qrCode(filmCodeText(job, panel, shown));
  const sizeMm = lane.depthMm;
  if (qrModuleMm(code, sizeMm) < MIN_MODULE_MM) return undefined;
  return { lengthMm: sizeMm, items: [qrItem(code, 0, 0, sizeMm, TAG)] };
}

function numberBlock({ panel }: LabelSubject, lane: MarkLane, fonts: FontMetrics): MarkBlock | undefined {
  const size = letterSize(lane.depthMm, 0.62, 24);
  return size === undefined ? undefined : textMark(fonts, panel.label, styleOf('bold', size), lane, TAG);
}

function arrowBlocks({ layout }: LabelSubject, lane: MarkLane, fonts: FontMetrics): MarkBlock[] {
  const { front } = layout.side;
  const toFront: Point = { x: front === 'left' ? -1 : 1, y: 0 };
  return [
    arrowMark(fonts, 'TOP', { x: 0, y: -1 }, lane, TAG),
    ...(front === 'none' ? [] : [arrowMark(fonts, 'FRONT', toFront, lane, TAG)]),
  ].flatMap((block) => block ?? []);
}

/** What production must do to the file, or must not do again. */
const actText = ({ job, panel }: LabelSubject): string =>
  (job.output.size.kind === 'reduction' ? ` · ENLARGE ×${job.output.size.factor}` : '') +
  mirrorTexts[jobFilm(job, panel.filmId).film.mirror ?? 'none'] +
  (hasSeveralFilms(job) ? ` · FILM ${jobFilm(job, panel.filmId).letter}` : '');

const mirrorTexts = { none: '', rip: ' · MIRROR IN RIP', file: ' · MIRRORED' } as const;

const orderText = ({ layout, panel }: LabelSubject): string =>
  panel.patch ? 'over damage' : `install ${panel.order} of ${layout.panels.length}`;

/** Two rows: order, enlargement and side; then the job. */
function namesBlock(
  subject: LabelSubject,
  lane: MarkLane,
  roomMm: Mm,
  fonts: FontMetrics,
): MarkBlock | undefined {
  const { job, layout } = subject;
  const size = letterSize(lane.depthMm, 0.28, 7);
  const headSize = letterSize(lane.depthMm, 0.34, 9);
  if (size === undefined || headSize === undefined || lane.depthMm < 2.4 * size) return undefined;
  const must = `${orderText(subject)}${actText(subject)}`;
  const headStyle = styleOf('bold', headSize);
  if (fonts.width(`${must} · `, 'bold', MIN_LETTER_SIZE_MM) > roomMm) return undefined;
  const head = textFitted(fonts, `${must} · ${layout.side.name}`, headStyle, roomMm, MIN_LETTER_SIZE_MM);
  const footText = `Job ${job.number} · ${job.name}`;
  const foot = textFitted(fonts, footText, styleOf('regular', size), roomMm, MIN_LETTER_SIZE_MM);
  if (!head || !foot) return undefined;
  const items = [head, foot].map((row, index) =>
    textLine(fonts, row.text, row.style, {
      at: { x: 0, y: rowBaseline(lane.depthMm, 2, index, row.style.sizeMm) },
      tag: TAG,
    }),
  );
  return { lengthMm: Math.max(...items.map(({ widthMm }) => widthMm)), items: items satisfies Item[] };
}

function lineBlock(
  subject: LabelSubject,
  lane: MarkLane,
  roomMm: Mm,
  fonts: FontMetrics,
): MarkBlock | undefined {
  const { panel } = subject;
  const size = letterSize(lane.depthMm, 0.5, 12);
  if (size === undefined) return undefined;
  const style = styleOf('bold', size);
  const texts = [
    `${panel.label}${actText(subject)} · ${orderText(subject)}`,
    `${panel.label}${actText(subject)}`,
  ];
  const text = texts.find((each) => fonts.width(each, style.role, MIN_LETTER_SIZE_MM) <= roomMm);
  return text === undefined ? undefined : textMarkFitted(fonts, text, style, lane, { roomMm, tag: TAG });
}
