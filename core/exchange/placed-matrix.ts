/**
 * A panel's place on a sheet as a matrix of PDF, [a b c d e f] with e and f in mm: x′ = a x + c y + e, y′ = b x + d y +
 * f (ISO 32000-1, 8.3.4). The sheet has its origin at the lower left and y up, and so has the file.
 *
 *     upright ┌─top─┐      turned ┌────────t┐
 *             │     │             │        o│     by 90° clockwise: its x runs down the sheet, its y to the right
 *             └─────┘             └────────p┘
 */
export interface SheetPlace {
  /** The lower left corner of the panel's area. */
  readonly xMm: number;
  readonly yMm: number;
  /** Its height on the sheet. */
  readonly lengthMm: number;
  readonly isTurned: boolean;
}

export type SheetMatrix = readonly [number, number, number, number, number, number];

/** Position of a point of the panel relative to the panel's lower left corner when upright. */
interface Corner {
  readonly xMm: number;
  readonly yMm: number;
}

/** Matrix for content at the corner of a panel that is `enlargeBy` times as large as in its file. */
export const placedMatrix = (
  { xMm, yMm, lengthMm, isTurned }: SheetPlace,
  enlargeBy = 1,
  corner: Corner = { xMm: 0, yMm: 0 },
): SheetMatrix =>
  isTurned
    ? [0, -enlargeBy, enlargeBy, 0, xMm + corner.yMm, yMm + lengthMm - corner.xMm]
    : [enlargeBy, 0, 0, enlargeBy, xMm + corner.xMm, yMm + corner.yMm];
