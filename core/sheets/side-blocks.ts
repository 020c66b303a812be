import { styleOf } from '../drawing/text-block.ts';
import { bodyLineSpan } from '../job/body-line.ts';
import { doorOutline } from '../job/door.ts';
import { panelNamed } from '../job/job-films.ts';
import { finishedOverlap, trimOff } from '../job/lap-figures.ts';
import { linePath } from '../job/line-path.ts';
import { NO_FILM_ACTS } from '../job/no-film-acts.ts';
import type { BodyLine } from '../job/schema.ts';
import { storedFromRect } from '../job/stored-rect.ts';
import { doorMotionText } from '../layout/door-text.ts';
import type { Seam } from '../layout/panel.ts';
import { endName } from '../layout/seam-datums.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import { tapePlaces } from '../layout/tape-places.ts';
import { EDGES, type Edge, rectBottom } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';
import { boldStyle, type Cell, listBlock, signOffRow, stepsBlock, TICK_BOX, tableBlock } from './blocks.ts';
import { edgesOnVehicle, noFilmAreasShown, tapeTable } from './crew-blocks.ts';
import type { FlowBlock } from './flow.ts';
import { generalSteps, installStepEntries, isShown } from './install-steps.ts';
import { hasCards } from './panel-cards.ts';
import { photoBlock } from './photo-block.ts';
import { isSaidInOneLine, seamLines } from './seam-line.ts';
import { seamShift } from './seam-shift.ts';
import type { SheetContext } from './sheet-context.ts';
import { sheetLength, sheetSize, UNIT_NAME } from './sheet-length.ts';
import {
  meetingText,
  noFilmAlong,
  type SideKeys,
  seamFromLine,
  seamMeetings,
  seamTableText,
  sideKeys,
} from './side-keys.ts';

const STRONG = styleOf('bold', 5.6);

const SIGNED_STEPS = ['Surface ready', 'Installed', 'Checked'];

/**
 * Tables and lists that accompany the picture of a side. Where there is no crew page, the side includes what to measure
 * first and what applies to every panel.
 */
export function sideBlocks(
  context: SheetContext,
  layout: SideLayout,
  keys: SideKeys,
  hasCrewPage: boolean,
): FlowBlock[] {
  const { side } = layout;
  const photo = context.photos.get(side.id);
  // Where one line covers all seams, the cards have the rest.
  const hasCardsAlone = hasCards(context.job, layout) && isSaidInOneLine(layout);
  const steps = hasCardsAlone ? [] : installStepEntries(context, layout, keys);
  const named = edgesOnVehicle(layout);
  const general = [
    ...(named ? [`Tape from: ${named}.`] : []),
    ...(hasCrewPage ? [] : generalSteps(context.job)),
    ...(hasCardsAlone
      ? [
          'Install in the order of the cards that follow, one for each panel.',
          ...seamLines(context.job, [layout]),
        ]
      : []),
  ];
  return [
    ...(hasCrewPage ? [] : [tapeTable(context, [layout])]),
    stepsBlock(context, 'Install in this order', general, steps),
    ...noFilmTable(context, layout, keys),
    ...doorList(context, layout, keys),
    ...(layout.seams.length > 0 ? [seamTable(context, layout, keys)] : []),
    ...(photo ? [photoBlock(context, photo)] : []),
    ...(side.notes.trim() ? [listBlock(context, 'Notes', [{ mark: '•', text: side.notes }])] : []),
    signOffRow(context, `Sign-off, ${side.name}`, SIGNED_STEPS),
  ];
}

/** Details of a side that an office looks up and the crew rarely needs. */
export function officeBlocks(context: SheetContext, layout: SideLayout): FlowBlock[] {
  const trims = trimEntries(layout);
  const keys = sideKeys(layout);
  return [
    panelTable(context, layout),
    ...(trims.length > 0
      ? [listBlock(context, `${layout.side.code}: trimmed in the shop, before packing`, trims)]
      : []),
    ...bodyLineList(context, layout, keys),
  ];
}

function bodyLineList(context: SheetContext, layout: SideLayout, keys: SideKeys): FlowBlock[] {
  const entries = keys.lines.map(({ key, line }) => ({
    mark: key,
    text: `${line.name} (${line.kind.replace('-', ' ')}), ${linePlace(context, layout, line)}`,
  }));
  return entries.length > 0 ? [listBlock(context, `Body lines of ${layout.side.code}`, entries)] : [];
}

/** Where no film may be, and the action there. */
function noFilmTable(context: SheetContext, layout: SideLayout, keys: SideKeys): FlowBlock[] {
  const areas = noFilmAreasShown(context, layout, keys);
  if (areas.length === 0) return [];
  const unit = context.job.displayUnit;
  const details = noFilmDetails(layout, areas);
  const rows = areas.map(({ key, noFilmArea }): Cell[] => {
    const { rect, outline, clearanceMm, kind, name } = noFilmArea;
    return [
      { text: key, style: styleOf('bold', 4.4) },
      { text: outline ? `${name} (outline, at its widest)` : name },
      { text: NO_FILM_ACTS[kind].act, style: boldStyle(context) },
      { text: noFilmAlong(layout, noFilmArea, unit) },
      { text: sheetLength(layout.outline.height - rect.yMm - rect.heightMm, unit) },
      { text: sheetSize({ width: rect.widthMm, height: rect.heightMm }, unit) },
      { text: sheetLength(clearanceMm, unit) },
    ];
  });
  return [
    tableBlock(
      context,
      `${layout.panels.some(({ glass }) => glass) ? 'No body film here' : 'No film here'}, in ${UNIT_NAME[unit]}`,
      [
        { head: '', share: 0.065 },
        { head: 'What', share: 0.2 },
        { head: 'Do', share: 0.19 },
        { head: 'From', share: 0.145 },
        // Keeps figures in inches on one line, even beside a picture on a small sheet.
        { head: 'From bottom', share: 0.14, anchor: 'end' },
        { head: 'Width × height', share: 0.17, anchor: 'end' },
        { head: 'Keep clear', share: 0.09, anchor: 'end' },
      ],
      rows,
    ),
    ...(details.length > 0 ? [listBlock(context, 'Where no film is, mind', details)] : []),
  ];
}

/** The motion of a door, and its requirements for film. */
function doorList(context: SheetContext, layout: SideLayout, keys: SideKeys): FlowBlock[] {
  const unit = context.job.displayUnit;
  const length = (mm: Mm) => sheetLength(mm, unit);
  const entries = keys.doors.flatMap(({ key, door }) => {
    const place = doorOutline(door);
    if (!place) return [];
    const handle = keys.noFilmAreas.find(({ noFilmArea }) => noFilmArea.id === door.handle);
    const text = [
      `${door.name}: ${sheetSize(place.rect, unit)}, ${noFilmAlong(layout, { rect: storedFromRect(place.rect) }, unit)}, ${length(layout.outline.height - rectBottom(place.rect))} up`,
      doorMotionText(door, layout.side, length),
      door.isEdgeWrapped ? 'wrap film around its edges' : 'end film at its edges',
      ...(handle ? [`handle ${handle.key}`] : []),
      'open and close it before you leave',
    ];
    return [{ mark: key, text: `${text.join('; ')}.` }];
  });
  return entries.length > 0
    ? [listBlock(context, `Doors of ${layout.side.code}, in ${UNIT_NAME[unit]}`, entries)]
    : [];
}

/** `X1, X2: film on glass only where the order says so`: one line for all areas that it applies to. */
function noFilmDetails(
  { panels }: SideLayout,
  noFilmAreas: SideKeys['noFilmAreas'],
): { mark: string; text: string }[] {
  const byDetail = Map.groupBy(noFilmAreas, ({ noFilmArea }) => {
    const onGlass = panels.find(({ glass }) => glass?.areaId === noFilmArea.id);
    return onGlass ? `then ${onGlass.label} on its glass` : NO_FILM_ACTS[noFilmArea.kind].detail;
  });
  return [...byDetail].flatMap(([detail, areas]) =>
    detail === undefined ? [] : [{ mark: areas.map(({ key }) => key).join(', '), text: detail }],
  );
}

function panelTable(context: SheetContext, layout: SideLayout): FlowBlock {
  const { job } = context;
  const shown = layout.panels.filter(({ id }) => isShown(context, id));
  const rows = shown.map((panel): Cell[] => [
    TICK_BOX,
    { text: String(panel.order), style: STRONG },
    { text: panelNamed(job, panel), style: styleOf('bold', 4.4) },
    { text: sheetSize(panel.net, job.displayUnit) },
    { text: sheetSize(panel.printed, job.displayUnit) },
    { text: sheetSize(panel.film, job.displayUnit) },
  ]);
  return tableBlock(
    context,
    `Panels of ${layout.side.code} in install order, sizes in ${UNIT_NAME[job.displayUnit]}, width × height`,
    [
      { head: '', share: 0.07 },
      { head: 'Install', share: 0.11, anchor: 'middle' },
      { head: 'Panel', share: 0.19 },
      { head: 'Visible size', share: 0.21 },
      { head: 'Printed size', share: 0.21 },
      { head: 'Size on roll', share: 0.21 },
    ],
    rows,
  );
}

function seamTable(context: SheetContext, layout: SideLayout, keys: SideKeys): FlowBlock {
  const { job } = context;
  const unit = job.displayUnit;
  const shown = keys.seams.flatMap(({ key, seam }) => {
    const meetings = seamMeetings(layout, seam).filter(({ first, second }) =>
      [first, second].some(({ id }) => isShown(context, id)),
    );
    return meetings.length > 0
      ? [{ key, seam, meetings: meetings.map((each) => meetingText(seam, each)) }]
      : [];
  });
  const rows = shown.map(({ key, seam, meetings }): Cell[] => {
    const checks = [seamTableText(layout, seam, unit, 'far'), seamFromLine(layout, keys, seam, unit)];
    return [
      { text: key, style: styleOf('bold', 4.4) },
      { text: meetings.join(', '), style: boldStyle(context) },
      {
        text: seamTableText(layout, seam, unit, 'near') ?? '',
        style: styleOf('bold', context.size.textMm * 1.2),
      },
      { text: checks.filter(Boolean).join('; ') },
      { text: overlapText(context, seam) },
      { text: shiftText(context, seam) },
    ];
  });
  return tableBlock(
    context,
    `Seams, in ${UNIT_NAME[unit]}: where the edge that you see goes`,
    [
      { head: 'Seam', share: 0.08 },
      { head: 'Which on which', share: 0.18 },
      { head: 'Set the tape to', share: 0.25 },
      { head: 'Check', share: 0.2 },
      { head: 'Overlap printed / trim-off / finished', share: 0.17 },
      { head: 'May move', share: 0.12 },
    ],
    rows,
  );
}

/** `25 / 10 / 15`; other kinds of seam by name. */
function overlapText({ job }: SheetContext, seam: Seam): string {
  if (seam.joint === 'butt') return 'butt seam';
  if (seam.joint === 'gap') return 'body-gap seam';
  const [printed, off, finished] = [seam.overlapMm, trimOff(seam), finishedOverlap(seam)].map((mm) =>
    sheetLength(mm, job.displayUnit),
  );
  return `${printed} / ${off} / ${finished}`;
}

function shiftText({ job }: SheetContext, seam: Seam): string {
  const shift = seamShift(seam, job.limits.minOverlapMm);
  if (!shift) return 'not at all';
  const [before, after] = seam.direction === 'vertical' ? ['left', 'right'] : ['up', 'down'];
  const parts = [
    ...(shift.beforeMm >= 1 ? [`${sheetLength(shift.beforeMm, job.displayUnit)} ${before}`] : []),
    ...(shift.afterMm >= 1 ? [`${sheetLength(shift.afterMm, job.displayUnit)} ${after}`] : []),
  ];
  return parts.length > 0 ? parts.join(', ') : 'not at all';
}

function trimEntries(layout: SideLayout): { mark: string; text: string }[] {
  return layout.panels.flatMap((panel) => {
    const edges = EDGES.filter((edge) => panel.edges[edge].trim === 'shop');
    return edges.length > 0 ? [{ mark: panel.label, text: `${edges.join(', ')} edge to the line` }] : [];
  });
}

/**
 * `820 from the top edge`; for a line with shape, each place to measure: `from the top edge 820 at 400, 870 at 1400
 * from the front edge`.
 */
function linePlace({ job }: SheetContext, { outline, side }: SideLayout, line: BodyLine): string {
  const { direction, atMm, shape } = line;
  const unit = job.displayUnit;
  const [before, after, size]: [Edge, Edge, Mm] =
    direction === 'vertical' ? ['left', 'right', outline.width] : ['top', 'bottom', outline.height];
  if (shape) {
    const places = tapePlaces(linePath(line), bodyLineSpan(line, outline)).map(
      ({ along, across }) => `${sheetLength(across, unit)} at ${sheetLength(along, unit)}`,
    );
    const from = direction === 'vertical' ? 'top' : 'left';
    return `from the ${endName(before, side)} edge ${places.join(', ')} from the ${endName(from, side)} edge`;
  }
  const [edge, distance] = atMm <= size - atMm ? [before, atMm] : [after, size - atMm];
  return `${sheetLength(distance, unit)} from the ${endName(edge, side)} edge`;
}
