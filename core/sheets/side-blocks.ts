import { styleOf } from '../drawing/text-block.ts';
import type { Panel, PanelEdge, Seam } from '../layout/panel.ts';
import { edgeName, seamDatums } from '../layout/seam-datums.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import { type LengthFormat, lengthFormatFromUnit } from '../measure/length-text.ts';
import { EDGES, type Edge } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';
import { boldStyle, type Cell, listBlock, signOffBlock, signOffRow, tableBlock } from './blocks.ts';
import { NO_FILM_ADVICE } from './cautions.ts';
import { blocksBeside, type FlowBlock } from './flow.ts';
import { layStepEntries } from './lay-steps.ts';
import { seamShift } from './seam-shift.ts';
import type { SheetContext } from './sheet-context.ts';
import { sheetLength, sheetSize, UNIT_NAME } from './sheet-length.ts';
import { meetingText, type SideKeys, seamMeetings } from './side-keys.ts';

const STRONG = styleOf('bold', 5.6);

/** Whole millimeters or sixteenths: what a tape shows. */
const tapeFormat = (unit: 'mm' | 'in'): LengthFormat =>
  unit === 'in' ? 'in-fraction' : lengthFormatFromUnit('mm');

const SIGNED_STEPS = ['Surface ready', 'Laid', 'Checked'];

/**
 * The tables and lists that go with the picture of a side. In two columns what stays free of film follows the
 * steps, near the picture; in one wide column short lists stand side by side and the sign-off takes one row.
 */
export function sideBlocks(
  context: SheetContext,
  layout: SideLayout,
  keys: SideKeys,
  columnCount: number,
): FlowBlock[] {
  const { side } = layout;
  const isWide = columnCount === 1;
  const steps = listBlock(context, 'Lay in this order', layStepEntries(context, layout, keys));
  const free = freeAreaList(context, keys);
  const lines = bodyLineList(context, layout, keys);
  const trims = trimEntries(layout);
  const signOff = `Sign-off, ${side.name}`;
  return [
    steps,
    ...(isWide ? [] : free),
    panelTable(context, layout),
    ...(layout.seams.length > 0 ? [seamTable(context, layout, keys)] : []),
    ...(trims.length > 0 ? [listBlock(context, 'Trim in the shop, before packing', trims)] : []),
    ...(isWide ? besideEachOther([...lines, ...free]) : lines),
    ...(side.notes.trim() ? [listBlock(context, 'Notes', [{ mark: '•', text: side.notes }])] : []),
    isWide ? signOffRow(context, signOff, SIGNED_STEPS) : signOffBlock(context, signOff, SIGNED_STEPS),
  ];
}

const besideEachOther = ([left, right]: readonly FlowBlock[]): FlowBlock[] =>
  left && right ? [blocksBeside(left, right)] : left ? [left] : [];

function bodyLineList(context: SheetContext, layout: SideLayout, keys: SideKeys): FlowBlock[] {
  const entries = keys.lines.map(({ key, line }) => ({
    mark: key,
    text: `${line.name} (${line.kind.replace('-', ' ')}), ${linePlace(context, layout, line.direction, line.atMm)}`,
  }));
  return entries.length > 0 ? [listBlock(context, 'Body lines', entries)] : [];
}

function freeAreaList(context: SheetContext, keys: SideKeys): FlowBlock[] {
  const entries = keys.noFilmAreas.map(({ key, noFilmArea }) => ({
    mark: key,
    text: `${noFilmArea.name} (${noFilmArea.kind.replace('-', ' ')}): ${NO_FILM_ADVICE[noFilmArea.kind]}`,
  }));
  return entries.length > 0 ? [listBlock(context, 'Stays free of film', entries)] : [];
}

function panelTable(context: SheetContext, layout: SideLayout): FlowBlock {
  const { job } = context;
  const rows = layout.panels.map((panel): Cell[] => [
    { text: String(panel.order), style: STRONG },
    { text: panel.label, style: styleOf('bold', 4.4) },
    { text: sheetSize(panel.net, job.displayUnit) },
    { text: sheetSize(panel.printed, job.displayUnit) },
    { text: overlapsText(context, layout, panel) },
    { text: panelNotes(context, panel) },
  ]);
  return tableBlock(
    context,
    `Panels in the order of laying, sizes in ${UNIT_NAME[job.displayUnit]}, width × height`,
    [
      { head: 'Lay', share: 0.07, anchor: 'middle' },
      { head: 'Panel', share: 0.13 },
      { head: 'Finished', share: 0.17 },
      { head: 'Printed', share: 0.17 },
      { head: 'At its edges', share: 0.27 },
      { head: 'Notes', share: 0.19 },
    ],
    rows,
  );
}

const EDGE_WORD: Readonly<Record<Edge, string>> = {
  top: 'top',
  right: 'right',
  bottom: 'bottom',
  left: 'left',
};

function overlapsText(context: SheetContext, layout: SideLayout, panel: Panel): string {
  const numbers = new Map(layout.panels.map(({ id, number }) => [id, number]));
  const texts = EDGES.flatMap((edge) => {
    const text = edgeText(context, panel.edges[edge], numbers);
    return text ? [`${EDGE_WORD[edge]}: ${text}`] : [];
  });
  return texts.length > 0 ? texts.join('; ') : 'outer edges only';
}

function edgeText(
  context: SheetContext,
  edge: PanelEdge,
  numbers: ReadonlyMap<string, number>,
): string | undefined {
  if (edge.kind === 'outer') return undefined;
  const length = (mm: Mm) => sheetLength(mm, context.job.displayUnit);
  const whom = edge.neighbors.flatMap(({ panelId }) => numbers.get(panelId) ?? []).join(', ');
  switch (edge.lies) {
    case 'over':
      return `over ${whom} by ${length(edge.overlapMm)}`;
    case 'under':
      return `under ${whom} by ${length(edge.overlapMm)}`;
    case 'edge-to-edge':
      return `meets ${whom}`;
    case 'apart':
      return `gap to ${whom}, wrap ${length(edge.allowanceMm)}`;
  }
}

function panelNotes(context: SheetContext, panel: Panel): string {
  const { job } = context;
  const onVehicle = EDGES.filter((edge) => {
    const at = panel.edges[edge];
    return at.kind === 'seam' && at.lies !== 'apart' && at.trim === 'vehicle';
  });
  const missing = EDGES.filter((edge) => panel.missing[edge] > 0);
  const notes: string[] = [];
  if (onVehicle.length > 0) notes.push(`trim ${onVehicle.join(', ')} on the vehicle`);
  for (const edge of missing) {
    notes.push(`${edge}: ${sheetLength(panel.missing[edge], job.displayUnit)} of image missing`);
  }
  return notes.join('; ');
}

function seamTable(context: SheetContext, layout: SideLayout, keys: SideKeys): FlowBlock {
  const { job } = context;
  const format = tapeFormat(job.displayUnit);
  const rows = keys.seams.map(({ key, seam }): Cell[] => {
    const datums = seamDatums(layout, seam, format);
    const meetings = seamMeetings(layout, seam).map((meeting) => meetingText(seam, meeting));
    const joint = seam.joint === 'lap' ? `lap ${sheetLength(seam.overlapMm, job.displayUnit)}` : seam.joint;
    return [
      { text: key, style: styleOf('bold', 4.4) },
      { text: meetings.join(', '), style: boldStyle(context) },
      { text: joint },
      { text: datums.fromEdge.text },
      { text: datums.fromLine?.text ?? datums.fromFarEdge.text },
      { text: shiftText(context, seam) },
    ];
  });
  return tableBlock(
    context,
    'Seams: where the edge you see must lie',
    [
      { head: 'Seam', share: 0.08 },
      { head: 'Which on which', share: 0.21 },
      { head: 'Joint', share: 0.1 },
      { head: 'Measure from the edge', share: 0.24 },
      { head: 'and from', share: 0.24 },
      { head: 'May move', share: 0.13 },
    ],
    rows,
  );
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

function linePlace(
  { job }: SheetContext,
  layout: SideLayout,
  direction: 'horizontal' | 'vertical',
  atMm: Mm,
): string {
  const { outline, side } = layout;
  const unit = job.displayUnit;
  return direction === 'vertical'
    ? `${sheetLength(atMm, unit)} ${unit} from the ${edgeName('left', side.front)} edge`
    : `${sheetLength(outline.height - atMm, unit)} ${unit} above the bottom edge`;
}
