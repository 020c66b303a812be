/**
 * The job document: everything that a job is, as plain data. Nothing derived is stored (panel
 * rectangles, numbers and the install order come from core/layout), so a document cannot contradict itself.
 *
 * Lengths are finished millimeters unless the name or the comment says drawn.
 */
import { z } from 'zod';
import { PAGE_BOXES } from '../measure/page-box.ts';

import { EDGES } from '../measure/rect.ts';

import { Allowances } from '../shop/allowances.ts';

import { ArtworkLimits } from '../shop/artwork-limits.ts';
import { costCardSchema } from '../shop/cost-card.ts';
import { DateOrder } from '../shop/date-order.ts';
import { Prices } from '../shop/prices.ts';
import {
  FilmProductionSettings,
  ProductionDefaults,
  ProductionSettings,
} from '../shop/production-settings.ts';
import { FilmBase } from '../shop/shelf.ts';
import { SideCode, SideNames } from '../shop/side-names.ts';
import { GroundDepth } from '../vehicle/ground-depth.ts';
import { SidePhoto } from '../vehicle/side-photo.ts';

/** Raised when a stored document needs a change of shape; core/job/migrate.ts carries older ones over. */
export const JOB_VERSION = 1;
/** Which draft of the version this is: a hash of its published schema, kept in step by `npm run schemas` and a test. */
export const JOB_SCHEMA = 'a934ed196069809a';

const MAX_LENGTH_MM = 100_000;
const MAX_TEXT = 10_000;
/** With the first they have the letters A to Z. */
export const MAX_OTHER_FILMS = 25;
export const MOST_INSTALL_DAYS = 30;
export const MOST_PROOF_REVISIONS = 999;
/** So far off its place a panel is shown at most. */
export const MOST_SEAM_OFF_MM = 3;

const text = z.string().max(MAX_TEXT);
const name = z.string().min(1).max(MAX_TEXT);
const id = z
  .string()
  .regex(
    /^[A-Za-z0-9][A-Za-z0-9_-]{0,63}$/,
    'use letters, digits, - and _, 64 at most, starting with a letter or digit',
  );
const lengthMm = z.number().nonnegative().max(MAX_LENGTH_MM);
const positiveMm = z.number().positive().max(MAX_LENGTH_MM);
const positionMm = z.number().min(-MAX_LENGTH_MM).max(MAX_LENGTH_MM);
const isoDate = z.iso.date();
const seamOffMm = z.number().min(-MOST_SEAM_OFF_MM).max(MOST_SEAM_OFF_MM);

const rectangle = z.strictObject({
  xMm: positionMm,
  yMm: positionMm,
  widthMm: positiveMm,
  heightMm: positiveMm,
});

const edgeLengths = z.strictObject({ top: lengthMm, right: lengthMm, bottom: lengthMm, left: lengthMm });

/** On which day of the installation. */
const installDay = z.number().int().min(1).max(MOST_INSTALL_DAYS);

export const JointKind = z.enum(['lap', 'butt', 'gap']);

/**
 * How an edge that is seen is trimmed on the vehicle: over cutting tape laid under the film, in a gap, or on an edge of
 * the body. A top part that ends on its seam line is trimmed in the shop instead, whatever this says.
 */
export const SeamTrim = z.enum(['tape', 'gap', 'edge']);

/**
 * Points of a line that slopes or curves, in order along its direction; straight between them. `offMm` is how far the
 * line lies right of or below its `atMm` there.
 */
export const LineShape = z
  .array(z.strictObject({ alongMm: positionMm, offMm: positionMm }))
  .min(2)
  .max(1000);

/**
 * How two parts of a split meet. `first` is the part before the seam (above it, or left of it).
 *
 *            first part │ second part
 *     ───────────────────┼──firstMm──▶        the first part's image runs on past the seam
 *          ◀──secondMm───┼───────────────     the second part's image begins before it
 *                       at
 */
export const Joint = z.strictObject({
  id,
  kind: JointKind,
  /**
   * Position of the seam line on the side: x of a vertical seam, y of a horizontal one. Of one with shape, the place that
   * its points are measured from.
   */
  atMm: positionMm,
  /** Absent: the seam is straight. Before its first point and beyond its last it goes on along its axis. */
  shape: LineShape.optional(),
  /** The body line whose shape it has, `atMm` less that of the line beside it; the seam moves and bends with the line. */
  follows: id.optional(),
  firstMm: lengthMm,
  secondMm: lengthMm,
  /** Which part lies on the other. Read for laps only. */
  top: z.enum(['first', 'second']),
  /** Absent: the shop's own way, `limits.seamTrim`. */
  trim: SeamTrim.optional(),
  /** A locked seam is left where it is by the planner. */
  locked: z.boolean().optional(),
});

export const SeamDirection = z.enum(['horizontal', 'vertical']);

export interface PanelRegion {
  kind: 'panel';
  id: string;
  filmId?: string | undefined;
  installDay?: number | undefined;
}
export interface SplitRegion {
  kind: 'split';
  /** Direction in which the seam lines of this split lie: horizontal seams stack parts top to bottom. */
  seams: z.infer<typeof SeamDirection>;
  joints: z.infer<typeof Joint>[];
  /** One more than joints: top to bottom, or left to right. */
  parts: Region[];
}
export type Region = PanelRegion | SplitRegion;

export const Region: z.ZodType<Region> = z.lazy(() =>
  z.discriminatedUnion('kind', [
    /** Absent `filmId` and `installDay`: those of its side. */
    z.strictObject({
      kind: z.literal('panel'),
      id,
      filmId: id.optional(),
      installDay: installDay.optional(),
    }),
    z.strictObject({
      kind: z.literal('split'),
      seams: SeamDirection,
      joints: z.array(Joint),
      parts: z.array(Region).min(1),
    }),
  ]),
);

export const BodyLineKind = z.enum(['crease', 'molding', 'body-gap', 'rivet-row']);

export const BodyLine = z.strictObject({
  id,
  name,
  kind: BodyLineKind,
  direction: SeamDirection,
  /** Position of the line across its direction; of a line with shape, the place that its points are measured from. */
  atMm: positionMm,
  /** Where a straight line begins and ends along its own direction; absent: the whole side. */
  extent: z.strictObject({ fromMm: positionMm, toMm: positionMm }).optional(),
  /** Absent: the line is straight. It begins at its first point and ends at its last. */
  shape: LineShape.optional(),
});

/** A thin line to set seams and areas by: it is drawn on the bench alone, never printed and on no sheet. */
export const GuideLine = z.strictObject({ id, direction: SeamDirection, atMm: positionMm });

/**
 * A closed outline: its corners in order, either way around, the last joined to the first. No two of its edges cross. The
 * `rect` beside it is the smallest rectangle that holds it.
 */
const areaOutline = z
  .array(z.strictObject({ xMm: positionMm, yMm: positionMm }))
  .min(3)
  .max(1000);

/** Absent `outline`: the area is the rectangle. */
const area = { id, name, rect: rectangle, outline: areaOutline.optional() };

export const NoSeamArea = z.strictObject(area);

/** An area where film costs time or is at risk: registering is slow in a recess and on a compound curve. */
export const Ground = z.strictObject({
  ...area,
  kind: z.enum(['recess', 'curve']),
  /** Absent where nobody has measured it. */
  depth: GroundDepth.optional(),
});

/** What a no-film area is; the cautions on the map depend on it. */
export const NoFilmKind = z.enum([
  'window',
  'wheel-arch',
  'lamp',
  'reflector',
  'handle',
  'sensor',
  'vent',
  'license-plate',
  'fuel-flap',
  'emergency-exit',
  'dot-tape',
  'legal-marking',
  'other',
]);

/** How the glass of a window is printed. */
export const WindowFilm = z.strictObject({
  /** The film of the job that it is printed on. */
  filmId: id,
  /** How far the film ends inside the seal, so that none of it lies on rubber. */
  sealMm: lengthMm,
  /** Image past that line, trimmed off on the glass. */
  bleedMm: lengthMm,
});

export const NoFilmArea = z.strictObject({
  ...area,
  kind: NoFilmKind,
  /** Of a window whose glass gets a panel of its own; absent: it stays bare. */
  windowFilm: WindowFilm.optional(),
  /** Width of the frame around the no-film area in which no seam should end, because film lifts there first. */
  clearanceMm: lengthMm,
});

/** Where one edge of a door's gap lies: y of the top and bottom, x of the two upright ones. */
export const DoorEdge = z.strictObject({
  atMm: positionMm,
  /** Absent: it is straight. Points count from `atMm`; the edge ends where it meets its neighbors. */
  shape: LineShape.optional(),
});

/** How a door moves. */
export const DoorMotion = z.discriminatedUnion('kind', [
  /** It turns about this edge. */
  z.strictObject({ kind: z.literal('hinged'), at: z.enum(EDGES) }),
  /** It passes over the body beside it, or under the body as a pocket door or a roll-up door does. */
  z.strictObject({
    kind: z.literal('slides'),
    toward: z.enum(EDGES),
    byMm: positiveMm,
    passes: z.enum(['over', 'under']),
  }),
]);

/** A door, hatch or flap. Each edge of its gap serves seams as a body line does; its id is the door's with `-` and the edge. */
export const Door = z.strictObject({
  id,
  name,
  gap: z.strictObject({ top: DoorEdge, right: DoorEdge, bottom: DoorEdge, left: DoorEdge }),
  motion: DoorMotion,
  /** Id of the no-film area of this side that is its handle. */
  handle: id.optional(),
  /** Whether film goes around its edges; else it ends at them. */
  isEdgeWrapped: z.boolean(),
});

/** A figure that was typed from the check-in sheet of a side. */
export const CheckInFigure = z.strictObject({
  /** Of the dimension: a body line, a no-film area, a seam, or `diagonal`. */
  dimensionId: id,
  /** The edge of the side that the tape was hooked on. */
  from: z.enum(EDGES),
  measuredMm: positiveMm,
});

/** One of several PDFs that an artwork was put together from. */
const ArtworkFile = z.strictObject({
  fileName: name,
  sha256: z.string().regex(/^[0-9a-f]{64}$/),
  /** Its pages follow those of the file before it. */
  pages: z.number().int().positive(),
});
export type ArtworkFile = z.infer<typeof ArtworkFile>;

/** As many as a job has sides, and some to spare. */
export const MOST_ARTWORK_FILES = 40;

export const ArtworkReference = z.strictObject({
  fileName: name,
  /** SHA-256 of the file's bytes, lower-case hexadecimal. */
  sha256: z.string().regex(/^[0-9a-f]{64}$/, 'use 64 lower-case hexadecimal digits'),
  sizeBytes: z.number().int().positive(),
  /** The page box whose top left corner is the origin of drawn space. */
  box: z.enum(PAGE_BOXES),
  /** Absent: it came as one file. */
  files: z.array(ArtworkFile).min(2).max(MOST_ARTWORK_FILES).optional(),
});

/** A place on a page of a template, drawn mm, and where it is on the side. */
const TemplatePoint = z.strictObject({
  drawnXMm: positionMm,
  drawnYMm: positionMm,
  xMm: positionMm,
  yMm: positionMm,
});

/** Vehicle outlines in a PDF, to trace lines and areas from; printed nowhere. */
export const SideTemplate = z.strictObject({
  /** Absent: the artwork of the job. */
  file: ArtworkReference.optional(),
  page: z.number().int().positive(),
  /** Absent: all that shows as the file opens. */
  layer: z.string().max(MAX_TEXT).optional(),
  /** Two places that line it up. Absent: it lies on the side as the artwork does. */
  points: z.array(TemplatePoint).length(2).optional(),
});

export const VehicleKind = z.enum(['van', 'truck', 'trailer', 'box-body', 'bus', 'car', 'other']);

/** One vehicle, trailer or body. */
export const VehicleUnit = z.strictObject({
  /** How its fleet names it. */
  unitNumber: name,
  licensePlate: text,
});

export const MAX_UNITS = 500;
export const VehicleCode = z.string().regex(/^[A-Z]{1,4}$/, 'use 1 to 4 capital letters');

/** Vehicles of one shape: one layout serves all of them, and its panels are printed once for each. */
export const Vehicle = z.strictObject({
  id,
  kind: VehicleKind,
  /** Leads labels and file names where the job has several types of vehicle; then each has one of its own. */
  code: VehicleCode.optional(),
  /** What people call the type, where its kind does not say enough. */
  name: name.optional(),
  units: z.array(VehicleUnit).min(1).max(MAX_UNITS),
});

export const Side = z.strictObject({
  id,
  /** The type of vehicle that it belongs to; absent: the first. */
  vehicleId: id.optional(),
  /** Short code that begins each panel number: DS, PS, REAR… */
  code: SideCode,
  name,
  /** Page of the artwork, counted from 1. Absent: the side is on no page yet, and no panel of it can be written. */
  page: z.number().int().positive().optional(),
  /** The side on that page in drawn millimeters, origin top left of the page box. Without a page, only its size counts. */
  artworkRect: rectangle,
  /** What the tape showed on the vehicle, where somebody measured it. */
  measured: z.strictObject({ widthMm: positiveMm, heightMm: positiveMm }).partial().optional(),
  /** What the tape showed at further dimensions of the check-in sheet, see core/layout/check-in.ts. */
  checkIn: z.array(CheckInFigure).optional(),
  /** Which edge of this side is nearer to the front of the vehicle; 'none' for a front, rear or roof. */
  front: z.enum(['left', 'right', 'none']),
  /** What an edge of the side is on the vehicle, such as `lower edge of the sill`: where a tape is hooked on. */
  edgesOnVehicle: z.strictObject({ top: text, right: text, bottom: text, left: text }).partial().optional(),
  bleed: edgeLengths,
  /** From where people look at this side; absent: DEFAULT_VIEWING_DISTANCE_MM in core/checks. */
  viewingDistanceMm: positiveMm.optional(),
  bodyLines: z.array(BodyLine),
  noSeamAreas: z.array(NoSeamArea),
  ground: z.array(Ground),
  noFilmAreas: z.array(NoFilmArea),
  doors: z.array(Door).optional(),
  guides: z.array(GuideLine).optional(),
  /** Lettering in the artwork that is decoration, so that seams may cut it. In drawn mm, as `artworkRect` is. */
  ignoredLettering: z.array(rectangle).optional(),
  layout: Region,
  /** What its panels are printed on, where they do not say; absent: the first film of the job. */
  filmId: id.optional(),
  /** On which day of the installation its panels are installed, where they do not say; absent: the first. */
  installDay: installDay.optional(),
  /** A photo of the side, to find and trace by; printed on no panel. */
  photo: SidePhoto.optional(),
  template: SideTemplate.optional(),
  notes: text,
});

const filmKind = z.enum(['cast', 'calendered-polymeric', 'calendered-monomeric']);

const material = { name, kind: filmKind, finish: text, lotNumber: text };

export const Laminate = z.strictObject({
  ...material,
  /** Made to be looked through, as film on glass needs it. */
  opticallyClear: z.literal(true).optional(),
});

export const Film = z.strictObject({
  ...material,
  /** With holes to look through: what glass is printed on. */
  perforated: z.literal(true).optional(),
  /** What the film is before it is printed; absent: white. */
  base: FilmBase.optional(),
  /** Name of the spot ink of the artwork that prints as white. */
  whitePlate: z.string().min(1).max(200).optional(),
  /**
   * Who mirrors a print that is looked at through its film, as on the inside of glass: the RIP, or the panel files. Absent:
   * nobody.
   */
  mirror: z.enum(['rip', 'file']).optional(),
});

export const Printer = z.strictObject({
  name,
  /** True width of the roll, not its trade name: a 54 in roll is 1,371.6 mm. */
  rollWidthMm: positiveMm,
  rollLengthMm: positiveMm,
  /** Unprintable margin at each side of the roll. */
  marginLeftMm: lengthMm,
  marginRightMm: lengthMm,
  longestPrintMm: positiveMm,
  /** Measured length error of the film feed: +0.2 means that a print comes out 0.2 % long. */
  feedErrorPercent: z.number().min(-5).max(5),
});

/** A further film of the job with all that belongs to it. The first one stands in the job itself. */
export const OtherFilm = z.strictObject({
  id,
  film: Film,
  laminate: Laminate.optional(),
  /** What it is printed with, and the roll in it. */
  printer: Printer,
  /** What production knows of this film; the rest is said once for the job. */
  production: FilmProductionSettings.optional(),
});

export const OutputSize = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('true-size') }),
  /** Written smaller by `factor`; production enlarges by the same. */
  z.strictObject({ kind: z.literal('reduction'), factor: z.number().gt(1).max(100) }),
  /** True size in larger user space units (PDF 1.6 and later). */
  z.strictObject({ kind: z.literal('user-unit') }),
]);

export const SheetPaper = z.enum(['A4', 'A3', 'Letter', 'Tabloid']);

/** Kinds of page of the install map: page one for the crew, the sides, the heat plan, the wall overview, the cautions. */
export const MapPage = z.enum(['crew', 'sides', 'heat', 'wall', 'cautions']);

/** What the ticket tells beyond how to print: only where the shop wants it on the floor. */
export const TicketParts = z
  .strictObject({ estimates: z.boolean(), cost: z.boolean(), packing: z.boolean() })
  .partial();
export type TicketParts = z.infer<typeof TicketParts>;

/** A sheet of labels as it was measured; see core/sheets/label-sheet.ts for what is measured where. */
export const LabelGeometry = z
  .strictObject({
    sheetWidthMm: positiveMm,
    sheetHeightMm: positiveMm,
    columns: z.number().int().min(1).max(20),
    rows: z.number().int().min(1).max(40),
    labelWidthMm: z.number().min(50).max(MAX_LENGTH_MM),
    labelHeightMm: z.number().min(30).max(MAX_LENGTH_MM),
    leftMm: lengthMm,
    topMm: lengthMm,
    pitchXMm: positiveMm,
    pitchYMm: positiveMm,
  })
  .refine(
    (sheet) =>
      (sheet.columns === 1 || sheet.pitchXMm >= sheet.labelWidthMm) &&
      (sheet.rows === 1 || sheet.pitchYMm >= sheet.labelHeightMm) &&
      sheet.leftMm + (sheet.columns - 1) * sheet.pitchXMm + sheet.labelWidthMm <= sheet.sheetWidthMm + 0.5 &&
      sheet.topMm + (sheet.rows - 1) * sheet.pitchYMm + sheet.labelHeightMm <= sheet.sheetHeightMm + 0.5,
    'the labels must lie on the sheet, and not on each other',
  );

/** What the papers of a job hold. */
export const SheetSettings = z.strictObject({
  /** Pages of the install map that are printed; absent: all kinds. */
  mapPages: z.array(MapPage).optional(),
  /** An install map for each vehicle; absent: one for all, with the list of them. */
  mapPerVehicle: z.boolean().optional(),
  /** A card for each panel; absent: on sides of many panels, see core/sheets/panel-cards.ts. */
  panelCards: z.enum(['always', 'many-panels', 'never']).optional(),
  ticket: TicketParts.optional(),
  /** Whether the customer proof shows the seams (absent: not), and whether output waits for its signature (absent: not). */
  proof: z.strictObject({ seams: z.boolean(), isSignatureNeeded: z.boolean() }).partial().optional(),
  /** How far off its place a panel is shown on the sheet of seams; absent: 1 mm away from its neighbor. */
  seams: z.strictObject({ apartMm: seamOffMm, alongMm: seamOffMm }).optional(),
  /** What a quote tells beside its prices; absent: the range, not what the job costs the shop. */
  quote: z.strictObject({ range: z.boolean(), cost: z.boolean() }).partial().optional(),
  /** Labels that the shop has; absent: a common sheet of the paper of the job. */
  labels: LabelGeometry.optional(),
  /** Paper of a kind of sheet; absent: as the install map. */
  sizes: z
    .strictObject({
      ticket: SheetPaper,
      'packing-list': SheetPaper,
      'check-in': SheetPaper,
      quote: SheetPaper,
      proof: SheetPaper,
    })
    .partial()
    .optional(),
});

export const Output = z.strictObject({
  size: OutputSize,
  /** Unprinted film around the printed image, where marks and labels live. */
  borderMm: lengthMm,
  marks: z.boolean(),
  /** What production prints: one file per panel (absent: this), or one per strip of the nesting. */
  files: z.enum(['panels', 'strips']).optional(),
  numbering: z.enum(['install-order', 'reading-order']),
  mapSheet: SheetPaper,
});

export const Acknowledgement = z.strictObject({
  /** Key of the finding, see core/layout/finding.ts. */
  finding: name,
  by: text,
  note: text,
  /** The figure that was accepted, where the finding has one; another figure needs accepting anew. */
  figure: z.number().optional(),
});

/** The signature of a customer under a proof. */
export const Approval = z.strictObject({
  by: name,
  on: isoDate,
  /** SHA-256 of the artwork that the proof showed. */
  artworkSha256: z.string().regex(/^[0-9a-f]{64}$/, 'use 64 lower-case hexadecimal digits'),
  note: text,
});

/** Limits that a shop sets for its own way of working; findings are measured against them. */
export const ShopLimits = z.strictObject({
  minOverlapMm: lengthMm,
  minPanelMm: lengthMm,
  /** Size on roll of the longest panel that the crew installs lying along a side; upright ones go the full height. */
  longestPanelMm: positiveMm,
  /** What film edges keep from the heads of a rivet row. */
  rivetClearanceMm: lengthMm,
  /** Across a rivet's head; half of it lies to each side of its row. */
  rivetHeadMm: lengthMm,
  maxProportionErrorPercent: z.number().positive().max(50),
  /** How seams are trimmed on the vehicle where a seam does not say; absent: over cutting tape. */
  seamTrim: SeamTrim.optional(),
  /** So much may a seam rise over its length before its film is worth a word; absent: DEFAULT_SHAPE_LIMITS. */
  mostRiseMm: lengthMm.optional(),
  /** Of the corners of film edges; absent: DEFAULT_SHAPE_LIMITS in core/job/defaults.ts. */
  leastCornerRadiusMm: lengthMm.optional(),
});

/** Whoever issues the sheets. */
export const ShopIdentity = z.strictObject({ name, address: text, phone: text });

export const Job = z.strictObject({
  format: z.literal('panelwright-job'),
  version: z.literal(JOB_VERSION),
  schema: z.literal(JOB_SCHEMA),
  id,
  /** The shop's own job number. */
  number: name,
  name,
  /** Who issues the sheets and is called when something does not fit; absent: the sheets leave room to write it. */
  shop: ShopIdentity.optional(),
  /** Empty until somebody enters it; sheets leave room to write it. */
  customer: z.string().max(MAX_TEXT),
  /** What is covered: types of vehicles, trailers or bodies in the order in which they are seen. */
  vehicles: z.array(Vehicle).min(1).max(26),
  /** Date of issue, printed on every sheet and written into every PDF. */
  date: isoDate,
  preparedBy: text,
  notes: text,
  displayUnit: z.enum(['mm', 'in']),
  /** Absent: year first. */
  dateOrder: DateOrder.optional(),
  /** What new sides are called; absent: left and right. */
  sideNames: SideNames.optional(),
  artwork: ArtworkReference.optional(),
  /** Finished size ÷ drawn size: a 1:10 drawing has scale 10. */
  scale: z.number().positive().max(1000),
  sides: z.array(Side),
  film: Film,
  laminate: Laminate.optional(),
  printer: Printer,
  /** Where panels are printed on more than one film; see core/job/job-films.ts. */
  otherFilms: z.array(OtherFilm).max(MAX_OTHER_FILMS).optional(),
  output: Output,
  /** Absent: every kind of page, on the paper of the install map. */
  sheets: SheetSettings.optional(),
  limits: ShopLimits,
  /** What new seams, sides and no-film areas begin with; absent: METRIC_ALLOWANCES in core/shop. */
  allowances: Allowances.optional(),
  /** What the artwork is checked against; absent: DEFAULT_ARTWORK_LIMITS in core/shop. */
  artworkLimits: ArtworkLimits.optional(),
  /** What the planner counts with; absent: its own estimates. */
  costCard: costCardSchema.optional(),
  /** What the customer is asked for; absent: ESTIMATED_PRICES in core/shop, and a quote is a draft. */
  prices: Prices.optional(),
  /** Absent until somebody has looked at production, which then begins with `productionDefaults`. */
  production: ProductionSettings.optional(),
  /** The shop's figures for production; absent: DEFAULT_PRODUCTION in core/shop. */
  productionDefaults: ProductionDefaults.optional(),
  acknowledgements: z.array(Acknowledgement),
  /** Absent until the customer has signed a proof. */
  approval: Approval.optional(),
  /** Which customer proof the next one is: each other artwork raises it, and the shop may count otherwise. Absent: 1. */
  proofRevision: z.number().int().min(1).max(MOST_PROOF_REVISIONS).optional(),
  /** The highest number ever given to an id here, kept once an id is removed; see core/job/fresh-id.ts. */
  idsGiven: z.number().int().nonnegative().optional(),
});

export type Job = z.infer<typeof Job>;
export type VehicleKind = z.infer<typeof VehicleKind>;
export type Side = z.infer<typeof Side>;
export type VehicleUnit = z.infer<typeof VehicleUnit>;
export type Vehicle = z.infer<typeof Vehicle>;
export type Joint = z.infer<typeof Joint>;
export type JointKind = z.infer<typeof JointKind>;
export type SeamTrim = z.infer<typeof SeamTrim>;
export type SeamDirection = z.infer<typeof SeamDirection>;
export type BodyLine = z.infer<typeof BodyLine>;
export type LineShape = z.infer<typeof LineShape>;
export type SideTemplate = z.infer<typeof SideTemplate>;
export type GuideLine = z.infer<typeof GuideLine>;
export type BodyLineKind = z.infer<typeof BodyLineKind>;
export type NoSeamArea = z.infer<typeof NoSeamArea>;
export type Ground = z.infer<typeof Ground>;
export type NoFilmArea = z.infer<typeof NoFilmArea>;
export type WindowFilm = z.infer<typeof WindowFilm>;
export type Door = z.infer<typeof Door>;
export type DoorEdge = z.infer<typeof DoorEdge>;
export type DoorMotion = z.infer<typeof DoorMotion>;
export type NoFilmKind = z.infer<typeof NoFilmKind>;
export type ArtworkReference = z.infer<typeof ArtworkReference>;
export type Film = z.infer<typeof Film>;
export type Laminate = z.infer<typeof Laminate>;
export type Printer = z.infer<typeof Printer>;
export type OtherFilm = z.infer<typeof OtherFilm>;
export type OutputSize = z.infer<typeof OutputSize>;
export type Output = z.infer<typeof Output>;
export type SheetSettings = z.infer<typeof SheetSettings>;
export type MapPage = z.infer<typeof MapPage>;
export type LabelGeometry = z.infer<typeof LabelGeometry>;
export type CheckInFigure = z.infer<typeof CheckInFigure>;
export type Approval = z.infer<typeof Approval>;
export type Acknowledgement = z.infer<typeof Acknowledgement>;
export type ShopLimits = z.infer<typeof ShopLimits>;
/** A rectangle as stored: units in the field names. */
export type StoredRect = z.infer<typeof rectangle>;
