/** Where a patch is, what is under it and how to install it: one sheet for the installer. */
import { type Item, MEDIUM, THICK, THIN } from '../drawing/drawing.ts';
import type { FontMetrics } from '../drawing/font-library.ts';
import { sizeFromCap, styleOf, textLine } from '../drawing/text-block.ts';
import { DEFAULT_SHAPE_LIMITS } from '../job/defaults.ts';
import { sideLines } from '../job/door.ts';
import type { Job } from '../job/schema.ts';
import { sheetPaper } from '../job/sheet-paper.ts';
import { type Panel, panelPoints } from '../layout/panel.ts';
import type { Patch } from '../layout/patch.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import { present } from '../measure/present.ts';
import {
  EDGES,
  type Edge,
  edgeLengthsAll,
  type Point,
  type Rect,
  rectBottom,
  rectGrown,
  rectIntersection,
  rectRight,
} from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';
import type { ProductionRecord } from '../output/production-record.ts';
import { RECORD_FIELDS } from '../output/record-fields.ts';
import { boldStyle, type Cell, listBlock, signOffBlock, tableBlock } from './blocks.ts';
import { columnPages } from './column-pages.ts';
import { fewestPages, pagesFilled, SPACINGS, spacedContext } from './fewest-pages.ts';
import { blockWhole, type FlowBlock } from './flow.ts';
import type { PageDraft, Sheet } from './page-frame.ts';
import { type SheetContext, type SheetOptions, sheetContext } from './sheet-context.ts';
import { sheetLength, sheetLengthWithUnit, sheetSize, UNIT_NAME } from './sheet-length.ts';
import { SHEET_SIZES, type SheetSizeName } from './sheet-size.ts';
import { bodyLineItems, freeAreaItems } from './side-picture.ts';
import { sheetsWithTexts } from './text-pages.ts';

export const PATCH_SHEET = 'Patch sheet';

export interface PatchSheetOptions extends SheetOptions {
  readonly fonts: FontMetrics;
  readonly sheet?: SheetSizeName;
  /** Settings and materials of the original panel, as far as entered. */
  readonly first?: ProductionRecord | undefined;
}

const COLUMNS = 2;
const TAG = 'patch';
const BLANK = '____________';
const SIDE_MM: Mm = 36;
const PLACE_MM: Mm = 70;

interface Placed {
  readonly layout: SideLayout;
  readonly patch: Patch;
  readonly of: Panel;
}

export function patchSheet(
  job: Job,
  layouts: readonly SideLayout[],
  options: PatchSheetOptions,
): readonly Sheet[] {
  const paper = options.sheet ?? sheetPaper(job, 'ticket');
  const context = sheetContext(job, options.fonts, SHEET_SIZES[paper], options);
  const placed = layouts.flatMap(patchesOf);
  const title = `Patch · ${placed.map(({ patch }) => patch.label).join(', ')}`;
  const pages: readonly PageDraft[] = fewestPages(
    SPACINGS.map((spacing) => () => {
      const spaced = spacedContext(context, spacing);
      const blocks = placed.flatMap((item) => patchBlocks(spaced, item, options.first ?? {}));
      return pagesFilled(spaced, blocks, columnPages(spaced, title, COLUMNS));
    }),
  );
  return sheetsWithTexts(context, PATCH_SHEET, pages);
}

function patchesOf(layout: SideLayout): Placed[] {
  return layout.panels.flatMap((panel) => {
    const { patch } = panel;
    const of = patch && layout.panels.find(({ id }) => id === patch.of);
    return patch && of ? [{ layout, patch: { ...panel, patch }, of }] : [];
  });
}

function patchBlocks(context: SheetContext, placed: Placed, first: ProductionRecord): FlowBlock[] {
  const { patch, of } = placed;
  const unit = context.job.displayUnit;
  const warnings = warningsOf(placed);
  return [
    pictureBlock(context, `${patch.label} on ${placed.layout.side.name}`, placed),
    placeTable(context, placed),
    ...(warnings.length > 0
      ? [
          listBlock(
            context,
            'Mind',
            warnings.map((text) => ({ mark: '!', text })),
          ),
        ]
      : []),
    underneathTable(context, placed, first),
    listBlock(
      context,
      `Install ${patch.label}: ${sheetSize(patch.net, unit)} ${UNIT_NAME[unit]} when trimmed`,
      steps(context, of).map((text, index) => ({ mark: String(index + 1), text })),
    ),
    blockWhole(signOffBlock(context, 'Patch', ['Installed', 'Checked'])),
  ];
}

/** Common practice, no source; the film's data sheet takes precedence. */
function steps({ job }: SheetContext, of: Panel): string[] {
  const radius = job.limits.leastCornerRadiusMm ?? DEFAULT_SHAPE_LIMITS.leastCornerRadiusMm;
  return [
    'Follow the data sheets of film and laminate: temperatures, cleaner, post-heat.',
    'Installed film has aged in the sun. Hold the print against it in daylight before you go on.',
    `Trim the patch in the shop from tick to tick, with corners rounded to ${sheetLengthWithUnit(radius, job.displayUnit)} or more. At an edge of the panel do as on the install map.`,
    `Remove loose and torn film of ${of.label}. Leave sound film where it is, and score neither it nor paint, glass or seals.`,
    'Have bare metal and broken paint repaired first. Clean and dry the place.',
    'Install the patch by the figures in the table. Press its edges once more after post-heat.',
  ];
}

function warningsOf({ patch, of }: Placed): string[] {
  const { isDamageBeyond, cut } = patch.patch;
  return [
    ...(isDamageBeyond
      ? [`There is damage beside ${of.label}: the panel there needs a patch of its own.`]
      : []),
    ...(cut.length > 0
      ? [
          `The edge of the patch cuts ${cut.length === 1 ? 'a line' : `${cut.length} lines`} of lettering. Match it before you press it down.`,
        ]
      : []),
  ];
}

const EDGE_NAMES: Readonly<Record<Edge, string>> = {
  top: 'Top',
  right: 'Right',
  bottom: 'Bottom',
  left: 'Left',
};

const edgeAt = (rect: Rect, edge: Edge): Mm =>
  ({ top: rect.y, right: rectRight(rect), bottom: rectBottom(rect), left: rect.x })[edge];

/** Position of each edge of the patch, from edges that exist on the vehicle. */
function placeTable(context: SheetContext, placed: Placed): FlowBlock {
  const { layout, patch, of } = placed;
  const { displayUnit: unit } = context.job;
  const rows = EDGES.map((edge): Cell[] => {
    const from = nearerEdge(layout.outline, patch.net, edge);
    const far = Math.abs(edgeAt(patch.net, edge) - edgeAt(layout.outline, from));
    const inside = Math.abs(edgeAt(patch.net, edge) - edgeAt(of.net, edge));
    return [
      { text: EDGE_NAMES[edge] },
      { text: `${sheetLength(far, unit)} from ${from}`, style: boldStyle(context) },
      { text: sheetLength(inside, unit), style: boldStyle(context) },
      { text: endText(context, placed, edge) },
    ];
  });
  return tableBlock(
    context,
    `Where it sits, in ${UNIT_NAME[unit]}`,
    [
      { head: 'Edge', share: 0.13 },
      { head: 'Edge of the side', share: 0.27 },
      { head: `Edge of ${of.label}`, share: 0.2 },
      { head: 'What is there', share: 0.4 },
    ],
    rows,
  );
}

/** The nearer of the two edges of the side across which it is measured. */
function nearerEdge(outline: Rect, net: Rect, edge: Edge): Edge {
  const at = edgeAt(net, edge);
  const ends: readonly [Edge, Edge] =
    edge === 'left' || edge === 'right' ? ['left', 'right'] : ['top', 'bottom'];
  return at - edgeAt(outline, ends[0]) <= edgeAt(outline, ends[1]) - at ? ends[0] : ends[1];
}

function endText({ job }: SheetContext, { patch: { patch, edges }, of, layout }: Placed, edge: Edge): string {
  const end = patch.ends[edge];
  const length = (mm: Mm) => sheetLengthWithUnit(mm, job.displayUnit);
  if (end.kind === 'on-panel') return `on ${of.label}, laps the damage by ${length(end.lapMm)}`;
  if (end.kind === 'body-line') return `at ${end.name}, laps the damage by ${length(end.lapMm)}`;
  const own = edges[edge];
  if (own.kind === 'outer') return `outer edge, bleed ${length(own.allowanceMm)}`;
  const neighbors = own.neighbors
    .map(({ panelId }) => layout.panels.find(({ id }) => id === panelId)?.label ?? panelId)
    .join(', ');
  switch (own.lies) {
    case 'over':
      return `over ${neighbors}, as ${of.label}`;
    case 'apart':
      return `wraps into the gap to ${neighbors}`;
    case 'under':
    case 'edge-to-edge':
      return `ends at the edge of ${neighbors}`;
  }
}

function underneathTable(context: SheetContext, { of }: Placed, first: ProductionRecord): FlowBlock {
  const { job, output } = context;
  const film = job.production?.film ?? job.film;
  const laminate = job.production?.laminate ?? job.laminate;
  const rows: Cell[][] = [
    [{ text: 'Film' }, { text: film.name }, { text: BLANK }],
    [{ text: 'Laminate' }, { text: laminate?.name ?? 'none' }, { text: BLANK }],
    ...RECORD_FIELDS.filter(([field]) => field !== 'enteredBy' && field !== 'offPrinter').map(
      ([field, name]): Cell[] => [{ text: name }, { text: first[field] ?? 'not entered' }, { text: BLANK }],
    ),
  ];
  const of1 = output?.reprint ? `Output ${output.reprint.of}` : 'First output';
  return tableBlock(
    context,
    `Underneath: ${of.label}, which stays`,
    [
      { head: 'What', share: 0.34 },
      { head: of1, share: 0.36 },
      { head: 'Patch', share: 0.3 },
    ],
    rows,
  );
}

/** The side with the patch on it, and the patch with its surroundings. */
function pictureBlock(context: SheetContext, title: string, placed: Placed): FlowBlock {
  const { layout, patch, of } = placed;
  const around = Math.max(patch.net.width, patch.net.height) * 0.6;
  const near = present(
    rectIntersection(
      rectGrown(patch.net, edgeLengthsAll(around)),
      rectGrown(layout.outline, edgeLengthsAll(20)),
    ),
    'What lies around a patch',
  );
  return blockWhole((widthMm) => [
    ...listBlock(context, title, [
      {
        mark: '▪',
        text: `On ${of.label}, black on the small picture; the damage is hatched on the large one.`,
      },
    ])(widthMm),
    framePiece(context, placed, layout.outline, { widthMm, mostMm: SIDE_MM }, false),
    framePiece(context, placed, near, { widthMm, mostMm: PLACE_MM }, true),
  ]);
}

function framePiece(
  context: SheetContext,
  placed: Placed,
  frame: Rect<'finished'>,
  { widthMm, mostMm }: { readonly widthMm: Mm; readonly mostMm: Mm },
  isNear: boolean,
) {
  const scale = Math.min((widthMm - 2) / frame.width, (mostMm - 4) / frame.height);
  const heightMm = frame.height * scale + 4;
  return {
    heightMm,
    draw: (x: Mm, y: Mm): Item[] => {
      const picture: Rect = { x: x + 1, y: y + 2, width: frame.width * scale, height: frame.height * scale };
      return frameItems(context, placed, frame, { picture, scale }, isNear);
    },
  };
}

function frameItems(
  { fonts }: SheetContext,
  { layout, patch, of }: Placed,
  frame: Rect<'finished'>,
  { picture, scale }: { readonly picture: Rect; readonly scale: number },
  isNear: boolean,
): Item[] {
  const clipped = (point: Point): Point => ({
    x: picture.x + (Math.min(Math.max(point.x, frame.x), rectRight(frame)) - frame.x) * scale,
    y: picture.y + (Math.min(Math.max(point.y, frame.y), rectBottom(frame)) - frame.y) * scale,
  });
  const polygon = (
    points: readonly Point[],
    more: Pick<Item & { kind: 'polygon' }, 'fill' | 'stroke'>,
  ): Item => ({
    kind: 'polygon',
    tag: TAG,
    points: points.map(clipped),
    ...more,
  });
  const others = layout.panels.filter((panel) => !panel.patch && rectIntersection(panel.net, frame));
  const cap = styleOf('bold', sizeFromCap(2.5));
  const labels = others.flatMap((panel): Item[] => {
    const shown = rectIntersection(panel.net, frame);
    if (!isNear || !shown || shown.width * scale < 16 || shown.height * scale < 6) return [];
    const at = clipped({ x: shown.x, y: rectBottom(shown) });
    return [textLine(fonts, panel.label, cap, { at: { x: at.x + 1.5, y: at.y - 1.5 }, tag: TAG })];
  });
  const corners = ({ x, y, width, height }: Rect): Point[] => [
    { x, y },
    { x: x + width, y },
    { x: x + width, y: y + height },
    { x, y: y + height },
  ];
  return [
    ...others.map((panel) => polygon(panelPoints(panel), { stroke: panel.id === of.id ? THICK : THIN })),
    ...sideLines(layout.side).flatMap((line) => bodyLineItems(line, frame, picture, 1 / scale)),
    isNear
      ? polygon(panelPoints(patch), { stroke: MEDIUM })
      : polygon(panelPoints(patch), { fill: { black: 1 } }),
    ...(isNear ? freeAreaItems(corners(patch.patch.damage).map(clipped)) : []),
    ...labels,
    ...(isNear ? [] : [{ kind: 'rect', tag: TAG, rect: picture, stroke: MEDIUM } as const]),
  ];
}
