/** What to measure and inspect on the vehicle before artwork or film is spent. */
import { type Item, MEDIUM, THIN } from '../drawing/drawing.ts';
import type { FontMetrics } from '../drawing/font-library.ts';
import { sizeFromCap, styleOf, textLine } from '../drawing/text-block.ts';
import type { Job } from '../job/schema.ts';
import { sheetPaper } from '../job/sheet-paper.ts';
import { firstVehicle, vehicleText } from '../job/vehicles.ts';
import { type CheckInDimension, checkInDimensions, checkInName } from '../layout/check-in.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import { layoutsInInstallOrder } from '../layout/side-order.ts';
import { firstOf } from '../measure/present.ts';
import type { Point, Rect } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';
import { boldStyle, type Cell, listBlock, signOffBlock, TICK_BOX, tableBlock } from './blocks.ts';
import { columnPages } from './column-pages.ts';
import { edgesOnVehicle } from './crew-blocks.ts';
import { fewestPages, pagesFilled, SPACINGS, spacedContext } from './fewest-pages.ts';
import { blockWhole, type FlowBlock, type FlowPiece } from './flow.ts';
import type { PageDraft, Sheet } from './page-frame.ts';
import { Placer } from './placer.ts';
import { type SheetContext, type SheetOptions, sheetContext } from './sheet-context.ts';
import { sheetLength, UNIT_NAME } from './sheet-length.ts';
import { SHEET_SIZES, type SheetSizeName } from './sheet-size.ts';
import { bareSideItems } from './side-picture.ts';
import { sheetsWithTexts } from './text-pages.ts';

export const CHECK_IN_SHEET = 'Check-in sheet';

export interface CheckInOptions extends SheetOptions {
  readonly fonts: FontMetrics;
  readonly sheet?: SheetSizeName;
  /** Whether the vehicle is one of several, so that the sheet has a panel count and its note. */
  readonly isOfFleet?: boolean;
}

const COLUMNS = 2;
const OUTLINE_MM: Mm = 52;
const TAG = 'check-in';
const BLANK = '____________';
/** Keeps the text below a table clear of its last rule. */
const UNDER_TABLE: FlowPiece = { heightMm: 1.5, draw: () => [] };

/** The vehicle, what to look for on it, and each side with its dimensions and an outline to mark damage on. */
export function checkInSheet(
  job: Job,
  layouts: readonly SideLayout[],
  options: CheckInOptions,
): readonly Sheet[] {
  const paper = options.sheet ?? sheetPaper(job, 'check-in');
  const context = sheetContext(job, options.fonts, SHEET_SIZES[paper], options);
  const title = `Check-in · ${vehicleText(job)}`;
  const pages: readonly PageDraft[] = fewestPages(
    SPACINGS.map((spacing) => () => {
      const spaced = spacedContext(context, spacing);
      const blocks = [
        vehicleTable(spaced, options.isOfFleet ? layouts : []),
        lookForTable(spaced),
        blockWhole(listBlock(spaced, 'How to mark and measure', MARKING)),
        ...layoutsInInstallOrder(job, layouts).map((layout) => sideBlock(spaced, layout)),
        blockWhole(signOffBlock(spaced, 'Checked in', ['For the shop', 'For the customer'])),
      ];
      return pagesFilled(spaced, blocks, columnPages(spaced, title, COLUMNS));
    }),
  );
  return sheetsWithTexts(context, CHECK_IN_SHEET, pages);
}

const MARKING = [
  { mark: 'D', text: 'dent or scratch' },
  { mark: 'R', text: 'rust or loose paint' },
  { mark: 'P', text: 'repaint, with its date: fresh paint must be cured and outgassed' },
  { mark: 'F', text: 'old film, adhesive or lettering' },
  { mark: 'T', text: 'DOT reflective tape, reflectors, legal markings: they stay bare' },
  { mark: 'S', text: 'sensors, cameras, lamps, flaps: they stay bare' },
  {
    mark: '1',
    text: 'Numbers on the outline are those of the dimensions. Hook the tape on the edge that is named.',
  },
];

/** `own`: the sides of one of several vehicles. Keeps FLT6. */
function vehicleTable(context: SheetContext, own: readonly SideLayout[]): FlowBlock {
  const { unitNumber, licensePlate, installNote, panelsArrived } = firstOf(firstVehicle(context.job).units);
  const panels = own.reduce((sum, layout) => sum + layout.panels.length, 0);
  const ofFleet: Cell[][] = [
    [
      { text: 'Panels arrived' },
      { text: String(panels), style: boldStyle(context) },
      { text: panelsArrived === undefined ? BLANK : String(panelsArrived) },
    ],
    [{ text: 'Note for the crew' }, { text: installNote ?? '' }, { text: `${BLANK}${BLANK}` }],
  ];
  const rows: Cell[][] = [
    [{ text: 'Unit number' }, { text: unitNumber, style: boldStyle(context) }, { text: BLANK }],
    [{ text: 'License plate' }, { text: licensePlate, style: boldStyle(context) }, { text: BLANK }],
    [{ text: 'VIN' }, { text: '' }, { text: `${BLANK}${BLANK}` }],
    [{ text: 'Make, model, build date' }, { text: '' }, { text: `${BLANK}${BLANK}` }],
    [{ text: 'Width, gross weight rating' }, { text: '' }, { text: `${BLANK}${BLANK}` }],
    [{ text: 'Came in on, washed on' }, { text: '' }, { text: `${BLANK}${BLANK}` }],
    ...(own.length > 0 ? ofFleet : []),
  ];
  return tableBlock(
    context,
    'Vehicle',
    [
      { head: '', share: 0.32 },
      { head: 'As ordered', share: 0.3 },
      { head: 'On the vehicle', share: 0.38 },
    ],
    rows,
  );
}

/** Common practice, no source; for tape and markings 49 CFR 393.11, 393.13 and 390.21. */
const LOOK_FOR: readonly string[] = [
  'DOT reflective tape (trailers): where, whole or damaged',
  'USDOT number, legal name and other legal markings: where',
  'Radar, cameras, parking and other sensors: where',
  'Airbag covers, high-voltage parts, fuel or charge flap: where',
  'Repaint: where, date, cured',
  'Old film or adhesive: where',
  'Silicone, wax, loose moldings, rivets that stand out',
];

const lookForTable = (context: SheetContext): FlowBlock =>
  tableBlock(
    context,
    'Look for',
    [
      { head: 'None', share: 0.09, anchor: 'middle' },
      { head: 'Yes', share: 0.08 },
      { head: 'What', share: 0.53 },
      { head: 'Note', share: 0.3 },
    ],
    LOOK_FOR.map((text): Cell[] => [TICK_BOX, TICK_BOX, { text }, { text: BLANK }]),
  );

/** The outline of a side above the table of its dimensions; they stay together. */
function sideBlock(context: SheetContext, layout: SideLayout): FlowBlock {
  const { job } = context;
  const unit = job.displayUnit;
  const { side } = layout;
  const dimensions = checkInDimensions(layout);
  const named = edgesOnVehicle(layout);
  const table = tableBlock(
    context,
    `${side.code} ${side.name}, in ${UNIT_NAME[unit]}`,
    [
      { head: '', share: 0.07 },
      { head: 'From, to', share: 0.46 },
      { head: 'Drawn', share: 0.18, anchor: 'end' },
      { head: 'Measured', share: 0.2 },
      { head: '±', share: 0.09, anchor: 'end' },
    ],
    dimensions.map((dimension, index): Cell[] => [
      { text: String(index + 1), style: styleOf('bold', 4.9) },
      { text: checkInName(layout, dimension) },
      { text: sheetLength(dimension.drawnMm, unit), style: styleOf('bold', 4.9) },
      {
        text: dimension.measuredMm === undefined ? BLANK : sheetLength(dimension.measuredMm, unit),
        style: boldStyle(context),
      },
      { text: sheetLength(dimension.toleranceMm, unit) },
    ]),
  );
  const edges = named ? [listBlock(context, 'Edges', [{ mark: '•', text: `${named}.` }])] : [];
  return blockWhole((widthMm) => {
    const rows = table(widthMm);
    return [
      firstOf(rows),
      outlinePiece(context, layout, dimensions, widthMm),
      ...rows.slice(1),
      ...edges.flatMap((block) => [UNDER_TABLE, ...block(widthMm).slice(1)]),
    ];
  });
}

function outlinePiece(
  context: SheetContext,
  layout: SideLayout,
  dimensions: readonly CheckInDimension[],
  widthMm: Mm,
) {
  const { outline } = layout;
  const scale = Math.min((widthMm - 2) / outline.width, (OUTLINE_MM - 3) / outline.height);
  const heightMm = outline.height * scale + 3;
  return {
    heightMm,
    isHeading: true,
    draw: (x: Mm, y: Mm): Item[] => {
      const picture: Rect = {
        x: x + 1,
        y: y + 1.5,
        width: outline.width * scale,
        height: outline.height * scale,
      };
      return outlineItems(context, layout, dimensions, picture, scale);
    },
  };
}

function outlineItems(
  { fonts }: SheetContext,
  { side, outline }: SideLayout,
  dimensions: readonly CheckInDimension[],
  picture: Rect,
  scale: number,
): Item[] {
  const at = (xMm: Mm, yMm: Mm): Point => ({ x: picture.x + xMm * scale, y: picture.y + yMm * scale });
  const placer = new Placer();
  const numbered = dimensions.flatMap((dimension, index) => {
    const ends = dimensionEnds(side, outline, dimension, index);
    return ends
      ? dimensionItems(
          fonts,
          String(index + 1),
          { from: at(...ends[0]), to: at(...ends[1]) },
          picture,
          placer,
        )
      : [];
  });
  return [...bareSideItems({ side, outline }, picture, 1 / scale), ...numbered];
}

/** Positions of dimensions from top or bottom along the side, clear of the height in its middle. */
const ACROSS: readonly number[] = [0.2, 0.3, 0.36, 0.64, 0.78];

type Place = readonly [xMm: Mm, yMm: Mm];

/** Start and end of a dimension on its side, each at a different height, so that the numbers are apart. */
function dimensionEnds(
  side: SideLayout['side'],
  { width, height }: Rect,
  { id, from, drawnMm, alongMm }: CheckInDimension,
  index: number,
): readonly [Place, Place] | undefined {
  const level = 0.16 + 0.15 * index;
  if (id === 'width')
    return [
      [0, height * 0.12],
      [width, height * 0.12],
    ];
  if (id === 'height')
    return [
      [width * 0.5, 0],
      [width * 0.5, height],
    ];
  if (id === 'diagonal')
    return [
      [0, 0],
      [width, height],
    ];
  const across = alongMm ?? width * (ACROSS[index] ?? 0.9);
  // An area is measured at its height, where its edge is.
  const area = side.noFilmAreas.find((each) => each.id === id)?.rect;
  const down = area ? area.yMm + area.heightMm / 2 : (alongMm ?? height * level);
  switch (from) {
    case 'left':
      return [
        [0, down],
        [drawnMm, down],
      ];
    case 'right':
      return [
        [width, down],
        [width - drawnMm, down],
      ];
    case 'top':
      return [
        [across, 0],
        [across, drawnMm],
      ];
    case 'bottom':
      return [
        [across, height],
        [across, height - drawnMm],
      ];
  }
}

const TICK_MM: Mm = 1.6;
const NUMBER_TILE_MM: Mm = 6;

/**
 * Positions of a number along its line, as shares from the first end. The middle is left out, because most lines cross
 * there.
 */
const NUMBER_SHARES: readonly number[] = [0.42, 0.58, 0.3, 0.7, 0.18, 0.82, 0.08, 0.92];

/** A line with a tick at each end and its number near the middle, clear of earlier numbers. */
function dimensionItems(
  fonts: FontMetrics,
  number: string,
  { from, to }: { readonly from: Point; readonly to: Point },
  picture: Rect,
  placer: Placer,
): Item[] {
  const style = styleOf('bold', sizeFromCap(3.5));
  const isLevel = Math.abs(to.y - from.y) < 1e-6;
  const isUpright = Math.abs(to.x - from.x) < 1e-6;
  const tick = ({ x, y }: Point): Item => {
    const [dx, dy] = isLevel ? [0, TICK_MM] : isUpright ? [TICK_MM, 0] : [TICK_MM, -TICK_MM];
    return {
      kind: 'line',
      tag: TAG,
      from: { x: x - dx, y: y - dy },
      to: { x: x + dx, y: y + dy },
      stroke: MEDIUM,
    };
  };
  const widthMm = fonts.width(number, style.role, style.sizeMm) + 1.4;
  const tiles = NUMBER_SHARES.map((share): Rect => {
    const [x, y] = [from.x + (to.x - from.x) * share, from.y + (to.y - from.y) * share];
    return { x: x - widthMm / 2, y: y - NUMBER_TILE_MM / 2, width: widthMm, height: NUMBER_TILE_MM };
  });
  // Next to its line where a short line is fully occupied.
  const beside = [1, -1, 2, -2].flatMap((way) =>
    tiles.map((tile) =>
      isUpright ? { ...tile, x: tile.x + way * widthMm } : { ...tile, y: tile.y + way * NUMBER_TILE_MM },
    ),
  );
  const within = (tile: Rect): Rect => ({
    ...tile,
    x: Math.max(picture.x, Math.min(tile.x, picture.x + picture.width - tile.width)),
    y: Math.max(picture.y, Math.min(tile.y, picture.y + picture.height - tile.height)),
  });
  const all = [...tiles, ...beside].map(within);
  const tile = placer.place(all) ?? firstOf(all);
  const middle = { x: tile.x + widthMm / 2, y: tile.y + NUMBER_TILE_MM / 2 };
  return [
    { kind: 'line', tag: TAG, from, to, stroke: THIN },
    ...(isLevel || isUpright ? [tick(from), tick(to)] : []),
    { kind: 'rect', tag: TAG, rect: tile, fill: { black: 0 } },
    textLine(fonts, number, style, { at: { x: middle.x, y: middle.y + 1.75 }, anchor: 'middle', tag: TAG }),
  ];
}
