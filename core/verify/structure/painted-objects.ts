/** What content paints, in order, with the color, overprint and transparency of each object. */
import { PDFName } from 'pdf-lib';
import { colorSpaceLabel } from '../../pdf/content/color-space.ts';
import type { Color } from '../../pdf/content/graphics-state.ts';
import type { Painted, PaintedKind } from '../../pdf/content/painted.ts';
import { walkContent } from '../../pdf/content/walk.ts';
import type { WalkedPage } from '../../pdf/content/walk-state.ts';
import { boxIntersection, type SourceBox } from '../../pdf/page/page-space.ts';

const GROUP = PDFName.of('Group');

/** How an object is painted, each part as a text that is equal where the part is. */
export interface PaintedStyle {
  readonly color: string;
  readonly overprint: string;
  readonly transparency: string;
  readonly isVisible: boolean;
}

export interface PaintedObject {
  readonly kind: PaintedKind;
  /** In user space of the artwork's page, before clipping. */
  readonly bounds: SourceBox;
  /** What of it the clip lets through; undefined where nothing. */
  readonly shown: SourceBox | undefined;
  readonly style: PaintedStyle;
}

/** Lists everything that a page's content and its forms paint. @throws PdfProblem where it cannot be read */
export async function paintedObjects(page: WalkedPage): Promise<PaintedObject[]> {
  const objects: PaintedObject[] = [];
  const styles = new Map<string, PaintedStyle>();
  await walkContent(page, {
    onPainted(painted) {
      const { kind, bounds, clip, place } = painted;
      if (place.isByProxy) return;
      // What a form paints comes next; the form itself matters only where it is blended as a whole.
      if (kind === 'form' && !painted.object?.dict.has(GROUP)) return;
      const style = paintedStyle(painted);
      const key = `${style.color}|${style.overprint}|${style.transparency}|${style.isVisible}`;
      if (!styles.has(key)) styles.set(key, style);
      objects.push({ kind, bounds, shown: boxIntersection(bounds, clip), style: styles.get(key)! });
    },
    entersForm: () => true,
  });
  return objects;
}

function paintedStyle(painted: Painted): PaintedStyle {
  const { state, kind, image, shadingSpace, isFilled, isStroked, isVisible } = painted;
  const isStencil = image?.isStencil === true;
  const parts: string[] = [];
  if (image?.space) parts.push(`${colorSpaceLabel(image.space)}, ${image.bitsPerComponent} bits`);
  if (shadingSpace) parts.push(colorSpaceLabel(shadingSpace));
  if (isFilled || isStencil) parts.push(`fill ${colorText(state.fill)}`);
  if (isStroked) parts.push(`line ${colorText(state.stroke)}`);
  const isOverprinted = (isStroked && state.isStrokeOverprint) || (!isStroked && state.isFillOverprint);
  const both = isFilled && isStroked;
  return {
    color: parts.join('; '),
    overprint:
      kind === 'form'
        ? ''
        : both
          ? `${state.isFillOverprint} ${state.isStrokeOverprint} ${state.overprintMode}`
          : `${isOverprinted} ${isOverprinted ? state.overprintMode : ''}`,
    transparency: `${state.blendMode} ${isStroked ? state.strokeAlpha : ''} ${isStroked && !isFilled ? '' : state.fillAlpha} ${state.softMask ? 'masked' : ''}`,
    isVisible,
  };
}

const colorText = ({ space, values, pattern }: Color): string =>
  `${colorSpaceLabel(space)} ${values.join(' ')}${pattern ? ` ${pattern.kind} pattern ${pattern.matrix.join(' ')}` : ''}`;
