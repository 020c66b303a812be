/**
 * A panel's place on a sheet as a matrix of PDF, [a b c d e f] with e and f in mm: x′ = a x + c y + e, y′ = b x + d y + f
 * (ISO 32000-1, 8.3.4). The sheet has its origin at the lower left and y up, and so has the file.
 *
 *     upright ┌─top─┐      turned ┌────────t┐
 *             │     │             │        o│     by 90° clockwise: its own x runs down the sheet, its y to the right
 *             └─────┘             └────────p┘
 */
export interface SheetPlace {
  /** The lower left corner of what the panel takes up. */
  readonly xMm: number;
  readonly yMm: number;
  /** How far it reaches up the sheet. */
  readonly lengthMm: number;
  readonly isTurned: boolean;
}

export type SheetMatrix = readonly [number, number, number, number, number, number];

/** Of a point of the panel: how far it is from the panel's own lower left corner as it hangs. */
interface Corner {
  readonly xMm: number;
  readonly yMm: number;
}

/** What is drawn at the corner of a panel `enlargeBy` times as large as it is in its file. */
export const placedMatrix = (
  { xMm, yMm, lengthMm, isTurned }: SheetPlace,
  enlargeBy = 1,
  corner: Corner = { xMm: 0, yMm: 0 },
): SheetMatrix =>
  isTurned
    ? [0, -enlargeBy, enlargeBy, 0, xMm + corner.yMm, yMm + lengthMm - corner.xMm]
    : [enlargeBy, 0, 0, enlargeBy, xMm + corner.xMm, yMm + corner.yMm];
