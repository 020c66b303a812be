import type { RasterPicture } from '../drawing/drawing.ts';
import type { Mm } from '../measure/units.ts';
import { headingPiece } from './blocks.ts';
import type { FlowBlock } from './flow.ts';
import type { SheetContext } from './sheet-context.ts';

const MAX_WIDTH_MM: Mm = 120;
const MAX_HEIGHT_MM: Mm = 70;

/** A small photo of a side, to recognize the vehicle by, never to measure from. */
export function photoBlock(context: SheetContext, picture: RasterPicture): FlowBlock {
  const { widthPx, heightPx } = picture;
  return (columnMm) => {
    const mmPerPx = Math.min(Math.min(columnMm, MAX_WIDTH_MM) / widthPx, MAX_HEIGHT_MM / heightPx);
    const [width, height] = [widthPx * mmPerPx, heightPx * mmPerPx];
    return [
      headingPiece(context, 'Photo of the side, not to scale', columnMm, 'photo'),
      {
        heightMm: height,
        draw: (x, y) => [{ kind: 'picture', tag: 'photo', rect: { x, y, width, height }, picture }],
      },
    ];
  };
}
