/** Files written for a job: print files and sheets. */

import { z } from 'zod';
import { lengthMm, MAX_LENGTH_MM, positiveMm } from './schema-parts.ts';

/** Greatest displacement of a panel in the seam pictures. */
export const MOST_SEAM_OFF_MM = 3;

const seamOffMm = z.number().min(-MOST_SEAM_OFF_MM).max(MOST_SEAM_OFF_MM);

export const OutputSize = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('true-size') }),
  /** Written smaller by `factor`; production enlarges by the same. */
  z.strictObject({ kind: z.literal('reduction'), factor: z.number().gt(1).max(100) }),
  /** True size in larger user space units (PDF 1.6 and later). */
  z.strictObject({ kind: z.literal('user-unit') }),
]);
export type OutputSize = z.infer<typeof OutputSize>;

export const SheetPaper = z.enum(['A4', 'A3', 'Letter', 'Tabloid']);

/** Kinds of install map pages: page one for the crew, the sides, the heat plan, the wall overview, the cautions. */
export const MapPage = z.enum(['crew', 'sides', 'heat', 'wall', 'cautions']);
export type MapPage = z.infer<typeof MapPage>;

/** Ticket sections other than print settings that the shop wants on the floor. */
export const TicketParts = z
  .strictObject({ estimates: z.boolean(), cost: z.boolean(), packing: z.boolean() })
  .partial();
export type TicketParts = z.infer<typeof TicketParts>;

/** Measurements of a label sheet; see core/sheets/label-sheet.ts. */
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
export type LabelGeometry = z.infer<typeof LabelGeometry>;

/** Contents of a job's papers. */
export const SheetSettings = z.strictObject({
  /** Printed pages of the install map; absent: all kinds. */
  mapPages: z.array(MapPage).optional(),
  /** Whether each vehicle has an install map; absent: one map for all, with a list of them. */
  mapPerVehicle: z.boolean().optional(),
  /** When panels have cards; absent: on sides with many panels, see core/sheets/panel-cards.ts. */
  panelCards: z.enum(['always', 'many-panels', 'never']).optional(),
  ticket: TicketParts.optional(),
  /**
   * Whether the customer proof shows the seams (absent: no), and whether output waits for its signature (absent: no).
   */
  proof: z.strictObject({ seams: z.boolean(), isSignatureNeeded: z.boolean() }).partial().optional(),
  /** Displacement of panels in the seam pictures; absent: 1 mm away from the neighbor. */
  seams: z.strictObject({ apartMm: seamOffMm, alongMm: seamOffMm }).optional(),
  /** What a quote shows besides prices; absent: the range, but not the shop's cost. */
  quote: z.strictObject({ range: z.boolean(), cost: z.boolean() }).partial().optional(),
  /** The shop's label sheets; absent: a common sheet of the job's paper. */
  labels: LabelGeometry.optional(),
  /** Paper per kind of sheet; absent: same as the install map. */
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
export type SheetSettings = z.infer<typeof SheetSettings>;

export const Output = z.strictObject({
  size: OutputSize,
  /** Unprinted film around the printed image, for marks and labels. */
  borderMm: lengthMm,
  marks: z.boolean(),
  /** Whether each panel file has its cut contours on a separate layer; absent: no. */
  cutContours: z.boolean().optional(),
  /** Print files for production: one per panel (default), or one per strip of the nesting. */
  files: z.enum(['panels', 'strips']).optional(),
  numbering: z.enum(['install-order', 'reading-order']),
  mapSheet: SheetPaper,
});
export type Output = z.infer<typeof Output>;
