/** The layout of a strip: the places of its panels and of the cutting marks. */
import type { OutputSize } from '../../job/schema.ts';
import { itemAt } from '../../measure/present.ts';
import type { Rect } from '../../measure/rect.ts';
import type { Mm } from '../../measure/units.ts';
import type { Matrix } from '../../pdf/page/page-space.ts';
import { type BandCutLine, cutLines, type PrintStrip } from '../../rolls/print-strips.ts';
import { rollPrintWidth } from '../../rolls/roll-lengths.ts';
import type { RollStock } from '../../shop/rolls.ts';
import type { PagePlan } from '../panel-geometry.ts';

/** A panel's film on the strip, in mm from the strip's upper left corner, y along the film. */
export interface StripPlacement {
  readonly panelId: string;
  readonly xMm: Mm;
  readonly yMm: Mm;
  /** Rotated by 90° clockwise: its top edge is at the right. */
  readonly turned: boolean;
}

/** A line along which the strip is cut apart, as a rectangle without width. */
export type StripCutMark = Rect<'film'>;

export interface StripPage {
  /** The printable width of the roll. */
  readonly filmWidthMm: Mm;
  readonly filmHeightMm: Mm;
  readonly placements: readonly StripPlacement[];
  readonly cutMarks: readonly StripCutMark[];
  readonly size: OutputSize;
}

/** In a narrower gap a mark would touch the panels beside it. */
const LEAST_GAP_MM: Mm = 2;

export function stripPage(strip: PrintStrip, roll: RollStock, size: OutputSize): StripPage {
  const { bands, startMm, endMm } = strip;
  const across = rollPrintWidth(roll);
  const { acrossAtMm, withinBands } = cutLines(bands, roll.widthMm);
  const isBandGap = (index: number) =>
    itemAt(bands, index + 1).startMm - itemAt(bands, index).endMm >= LEAST_GAP_MM;
  return {
    filmWidthMm: across,
    filmHeightMm: endMm - startMm,
    size,
    placements: bands.flatMap(({ panels }) =>
      panels.map(({ place }) => ({
        panelId: place.panelId,
        xMm: place.xMm - roll.leftMarginMm,
        yMm: place.yMm - startMm,
        turned: place.turned,
      })),
    ),
    cutMarks: [
      ...acrossAtMm
        .filter((_, index) => isBandGap(index))
        .map((at) => ({ x: 0, y: at - startMm, width: across, height: 0 })),
      ...withinBands
        .filter(({ spaceMm }) => spaceMm >= LEAST_GAP_MM)
        .map((line) => stripMark(line, roll.leftMarginMm, startMm, across)),
    ],
  };
}

/** The part of a cut within a band that is on printed film. */
function stripMark(
  { way, atMm, fromMm, toMm }: BandCutLine,
  leftMm: Mm,
  startMm: Mm,
  filmWidthMm: Mm,
): StripCutMark {
  if (way === 'lengthwise') {
    return { x: atMm - leftMm, y: fromMm - startMm, width: 0, height: toMm - fromMm };
  }
  const x = Math.max(0, fromMm - leftMm);
  return { x, y: atMm - startMm, width: Math.min(filmWidthMm, toMm - leftMm) - x, height: 0 };
}

/** Maps a panel's page, `widthUnits` wide for `widthMm` of film, to the strip's page. */
export function panelMatrix(
  { xMm, yMm, turned }: StripPlacement,
  panel: { readonly widthMm: Mm; readonly heightMm: Mm; readonly widthUnits: number },
  plan: PagePlan,
): Matrix {
  const [k] = plan.toPage;
  const scale = (panel.widthMm * k) / panel.widthUnits;
  const top = plan.heightUnits - yMm * k;
  // Clockwise by 90°: x becomes -y and y becomes x, so the panel's right edge is at the bottom.
  return turned
    ? [0, -scale, scale, 0, xMm * k, top]
    : [scale, 0, 0, scale, xMm * k, top - panel.heightMm * k];
}
