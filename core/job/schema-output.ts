/** What is written of a job: print files and sheets. */

import { z } from 'zod';
import { lengthMm, MAX_LENGTH_MM, positiveMm } from './schema-parts.ts';

/** How far off its place a panel may be shown at most. */
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

/** Kinds of page of the install map: page one for the crew, the sides, the heat plan, the wall overview, the cautions. */
export const MapPage = z.enum(['crew', 'sides', 'heat', 'wall', 'cautions']);
export type MapPage = z.infer<typeof MapPage>;

/** What the ticket says beyond how to print, if the shop wants it on the floor. */
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
export type LabelGeometry = z.infer<typeof LabelGeometry>;

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
  /** What a quote says beside its prices; absent: the range, but not what the job costs the shop. */
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
export type SheetSettings = z.infer<typeof SheetSettings>;

export const Output = z.strictObject({
  size: OutputSize,
  /** Unprinted film around the printed image, where marks and labels live. */
  borderMm: lengthMm,
  marks: z.boolean(),
  /** Whether each panel file also has its cut contours, on a layer of its own; absent: not. */
  cutContours: z.boolean().optional(),
  /** What production prints: one file per panel (absent: this), or one per strip of the nesting. */
  files: z.enum(['panels', 'strips']).optional(),
  numbering: z.enum(['install-order', 'reading-order']),
  mapSheet: SheetPaper,
});
export type Output = z.infer<typeof Output>;
