/**
 * What shows in parts of a page, read by the other content reader: letters, colors and pictures. It recognizes equal
 * drawings that a comparison object by object does not, because programs that write a page anew divide its objects
 * differently.
 */
import type { PDFStream } from 'pdf-lib';
import { itemAt } from '../measure/present.ts';
import type { Point, Rect } from '../measure/rect.ts';
import { rectIntersection } from '../measure/rect.ts';
import { boxShown, boxTransformed, isBoxEmpty, isOverlapping } from '../pdf/content/bounds.ts';
import type { ColorSpace } from '../pdf/content/color-space.ts';
import { contentPageFrom } from '../pdf/content/content-page.ts';
import type { Color } from '../pdf/content/graphics-state.ts';
import type { Painted } from '../pdf/content/painted.ts';
import { walkContent } from '../pdf/content/walk.ts';
import type { Artwork } from '../pdf/document/artwork.ts';
import { type Matrix, matrixPoint, type SourceBox } from '../pdf/page/page-space.ts';
import type { SidePlace } from './side-place.ts';

export interface Letter {
  /** Undefined where the font does not tell it. */
  readonly text: string | undefined;
  readonly at: Point<'finished'>;
  readonly rect: Rect<'finished'>;
}

export interface PaintedColor {
  /** The color space by its print name, and whether it overprints. */
  readonly kind: string;
  readonly values: readonly number[];
  readonly rect: Rect<'finished'>;
}

export interface PlacedPicture {
  readonly stream: PDFStream;
  readonly ctm: Matrix;
  readonly rect: Rect<'finished'>;
}

export interface PaintEvidence {
  readonly letters: readonly Letter[];
  readonly colors: readonly PaintedColor[];
  readonly pictures: readonly PlacedPicture[];
}

/**
 * Collects evidence for several panels in one walk, each with some parts. @throws PdfProblem where the content cannot
 * be read
 */
export async function paintEvidence(
  { file, pages }: Artwork,
  page: number,
  panels: readonly (readonly Rect<'finished'>[])[],
  place: SidePlace,
): Promise<readonly PaintEvidence[]> {
  const content = await contentPageFrom(file, itemAt(pages, page - 1).page);
  const gathered = panels.map((regions) => new Gathering(regions, place));
  await walkContent(content, {
    wantsGlyphs: true,
    onPainted(painted) {
      for (const gathering of gathered) gathering.add(painted);
    },
  });
  return gathered;
}

class Gathering implements PaintEvidence {
  readonly letters: Letter[] = [];
  readonly colors: PaintedColor[] = [];
  readonly pictures: PlacedPicture[] = [];
  readonly #regions: readonly Rect<'finished'>[];
  readonly #boxes: readonly SourceBox[];
  readonly #place: SidePlace;
  /** Many objects of one color count as one. */
  readonly #known = new Set<string>();

  constructor(regions: readonly Rect<'finished'>[], place: SidePlace) {
    this.#regions = regions;
    this.#boxes = regions.map((region) => place.box(region));
    this.#place = place;
  }

  add(painted: Painted): void {
    if (!painted.isVisible || painted.kind === 'form') return;
    const shown = boxShown(painted);
    if (isBoxEmpty(shown) || !this.#boxes.some((box) => isOverlapping(box, shown))) return;
    const { state, image, text, isFilled, isStroked, shadingSpace, object } = painted;
    if (image && object) {
      const { ctm } = state;
      this.pictures.push({ stream: object, ctm, rect: this.#place.rect(shown) });
    }
    if (image && !image.isStencil) this.#addInks(image.space, shown);
    else if (isFilled || image) this.#addColor(state.fill, state.isFillOverprint, shown);
    if (isStroked) this.#addColor(state.stroke, state.isStrokeOverprint, shown);
    if (shadingSpace) this.#addInks(shadingSpace, shown);
    // Glyphs of a Type 3 font are drawings, which a program may draw differently when it subsets the font; pictures
    // decide.
    if (!text || text.font.type3) return;
    for (const glyph of text.glyphs) {
      const box = boxTransformed(glyph, text.matrix);
      const isShown =
        isOverlapping(box, painted.clip) && this.#boxes.some((each) => isOverlapping(each, box));
      if (!isShown || (glyph.text !== undefined && glyph.text.trim() === '')) continue;
      const rect = this.#place.rect(box);
      // A program that writes its font anew states another line height, so letters match by their place on the baseline.
      const [x, y] = matrixPoint(text.matrix, glyph.x0, 0);
      const at = this.#place.rect({ x0: x, y0: y, x1: x, y1: y });
      this.letters.push({ text: glyph.text?.normalize('NFKC'), at, rect });
    }
  }

  #addColor({ space, values, pattern }: Color, isOverprint: boolean, shown: SourceBox): void {
    // A program may replace a pattern by its objects, so pictures decide.
    if (pattern || space.family === 'Pattern') return;
    this.#add({ kind: `${kindOf(space)}${isOverprint ? ' overprint' : ''}`, values }, shown);
  }

  #addInks(space: ColorSpace | undefined, shown: SourceBox): void {
    for (const ink of inksOf(space)) this.#add({ kind: `picture in ${ink}`, values: [] }, shown);
  }

  #add({ kind, values }: Pick<PaintedColor, 'kind' | 'values'>, shown: SourceBox): void {
    const key = `${kind} ${values.map((value) => value.toFixed(4)).join(' ')}`;
    if (this.#known.has(key)) return;
    this.#known.add(key);
    const rect = this.#place.rect(shown);
    const [region] = this.#regions.flatMap((each) => rectIntersection(each, rect) ?? []);
    this.colors.push({ kind, values, rect: region ?? rect });
  }
}

const inksOf = (space: ColorSpace | undefined): readonly string[] =>
  space === undefined ? [] : space.inks.length > 0 ? space.inks : inksOf(space.base);

/**
 * Spaces with the same number of components count as equal, with any profile or none; pictures decide about profiles.
 */
function kindOf(space: ColorSpace): string {
  switch (space.family) {
    case 'Separation':
    case 'DeviceN':
      return `ink ${space.inks.join(', ')}`;
    case 'CalGray':
    case 'DeviceGray':
    case 'CalRGB':
    case 'DeviceRGB':
    case 'DeviceCMYK':
    case 'ICCBased':
      return `${space.components} components`;
    default:
      return space.family;
  }
}
