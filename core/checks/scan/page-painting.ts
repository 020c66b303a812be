import type { PDFObject } from 'pdf-lib';
import { valueAt } from '../../measure/present.ts';
import { boxShown } from '../../pdf/content/bounds.ts';
import type { ContentPage } from '../../pdf/content/content-page.ts';
import type { Font } from '../../pdf/content/font.ts';
import type { Color, GraphicsState } from '../../pdf/content/graphics-state.ts';
import type { Painted, ResourceCategory } from '../../pdf/content/painted.ts';
import { walkContent } from '../../pdf/content/walk.ts';
import type { SourceBox } from '../../pdf/page/page-space.ts';
import { type PageBlends, pageBlends } from './blend-inks.ts';
import { colorLabel, inkPercent, isNearWhite, isWhiteLost } from './color-values.ts';
import { PaintAreas } from './paint-areas.ts';
import type { Occurrences, PageScan, ScannedFont } from './schema.ts';
import { thinnestStroke } from './stroke-width.ts';
import { boxOnPage, Tallies, Tally } from './tally.ts';

/** Colors with less ink than this are no problem for any film. */
const HEAVY_PERCENT = 150;
const MAX_COLORS = 100;
const MAX_STROKES = 60;
const MAX_FONTS = 200;
const MAX_MISSING = 50;
/** Digits to which stroke widths are distinguished. */
const WIDTH_DIGITS = 3;

export type PagePainting = Pick<
  PageScan,
  | 'fonts'
  | 'strokes'
  | 'colors'
  | 'overprint'
  | 'whiteOverprint'
  | 'transparency'
  | 'blendModes'
  | 'hidden'
  | 'paint'
  | 'unreadable'
  | 'missing'
  | 'transfer'
  | 'halftone'
> &
  PageBlends;

/** What the graphics state does to each painted object of a page. @throws PdfProblem when the content cannot be read */
export async function pagePainting(page: ContentPage): Promise<PagePainting> {
  const seen = new PaintingSeen(page);
  await walkContent(page, {
    entersPatterns: true,
    entersGlyphs: true,
    onOperator: (name) => seen.onOperator(name),
    onPainted: (painted) => seen.onPainted(painted),
    onTrouble: () => {
      seen.unreadable++;
    },
    onResourceMissing: (category, name) => seen.onResourceMissing(category, name),
  });
  return { ...seen.painting(), ...(await pageBlends(seen.blends, page.objects)) };
}

class PaintingSeen {
  readonly #page: ContentPage;
  readonly #fonts = new Tallies<string>();
  readonly #fontKinds = new Map<string, ScannedFont['kind']>();
  readonly #strokes = new Tallies<number>();
  readonly #colors = new Tallies<string>();
  readonly #percents = new Map<string, number>();
  readonly #overprint = new Tally();
  readonly #whiteOverprint = new Tally();
  readonly #transparency = new Tally();
  readonly #blendModes = new Tallies<string>();
  readonly #transfer = new Tally();
  readonly #halftone = new Tally();
  readonly #hidden = new Tally();
  readonly #missing = new Map<string, { category: ResourceCategory; name: string; uses: number }>();
  /** Shadings, and shading patterns, by their objects. */
  readonly #blends = new Tallies<PDFObject>();
  readonly #paint = new PaintAreas();
  /** Operators of the path under construction, recorded as far as needed to tell whether it is one rectangle. */
  #path = '';
  unreadable = 0;

  constructor(page: ContentPage) {
    this.#page = page;
  }

  onOperator(name: string): void {
    if (name === 're') this.#path = this.#path === '' ? 're' : 'more';
    else if (name === 'm' || name === 'l' || name === 'c' || name === 'v' || name === 'y')
      this.#path = 'more';
    else if (name === 'n') this.#path = '';
  }

  onResourceMissing(category: ResourceCategory, name: string): void {
    const key = `${category} ${name}`;
    const known = this.#missing.get(key);
    if (known) known.uses++;
    else if (this.#missing.size < MAX_MISSING) this.#missing.set(key, { category, name, uses: 1 });
  }

  onPainted(painted: Painted): void {
    const isRectangle = painted.kind === 'path' && this.#path === 're';
    if (painted.kind === 'path') this.#path = '';
    const shown = boxOnPage(boxShown(painted), this.#page.box);
    if (shown === undefined) return;
    const { kind, state, isVisible, text } = painted;
    if (!isVisible) {
      // Text of mode 3 is invisible whatever its layer does.
      if (kind !== 'form' && !(text !== undefined && state.renderMode === 3)) this.#hidden.add(shown);
      return;
    }
    if (isTransparent(painted)) this.#transparency.add(shown);
    if (isBlended(state)) this.#blendModes.add(state.blendMode, shown);
    if (kind === 'form') return;
    if (state.hasTransfer) this.#transfer.add(shown);
    if (state.hasHalftone) this.#halftone.add(shown);
    if (text !== undefined) this.#recordFont(text.font, shown);
    if (painted.isStroked) this.#recordStroke(state, shown);
    this.#recordColors(painted, shown);
    if (!painted.level.isByProxy) this.#recordPaint(painted, shown, isRectangle);
  }

  get blends(): readonly (readonly [PDFObject, Occurrences])[] {
    return this.#blends.seen(this.#page.space);
  }

  painting(): Omit<PagePainting, keyof PageBlends> {
    const { space } = this.#page;
    const overprint = this.#overprint.occurrences(space);
    const whiteOverprint = this.#whiteOverprint.occurrences(space);
    const transparency = this.#transparency.occurrences(space);
    const transfer = this.#transfer.occurrences(space);
    const halftone = this.#halftone.occurrences(space);
    const hidden = this.#hidden.occurrences(space);
    return {
      fonts: this.#fonts
        .seen(space)
        .slice(0, MAX_FONTS)
        .map(([name, at]) => ({ name, kind: valueAt(this.#fontKinds, name), ...at })),
      strokes: this.#strokes
        .seen(space)
        .map(([widthMm, at]) => ({ widthMm, ...at }))
        .sort((a, b) => a.widthMm - b.widthMm)
        .slice(0, MAX_STROKES),
      colors: this.#colors
        .seen(space)
        .map(([label, at]) => ({ label, percent: valueAt(this.#percents, label), ...at }))
        .sort((a, b) => b.percent - a.percent)
        .slice(0, MAX_COLORS),
      ...(overprint && { overprint }),
      ...(whiteOverprint && { whiteOverprint }),
      ...(transparency && { transparency }),
      ...(transfer && { transfer }),
      ...(halftone && { halftone }),
      blendModes: this.#blendModes.seen(space).map(([mode, at]) => ({ mode, ...at })),
      ...(hidden && { hidden }),
      paint: {
        isComplete: this.#paint.isComplete,
        areas: this.#paint.areas.map(({ box, isWhite }) => ({ area: space.rectFromBox(box), isWhite })),
      },
      unreadable: this.unreadable,
      missing: [...this.#missing.values()],
    };
  }

  #recordFont(font: Font, shown: SourceBox): void {
    const own = font.name.replace(/^[A-Z]{6}\+/, '');
    const kind = font.type3 !== undefined ? 'type3' : font.isEmbedded ? 'embedded' : 'missing';
    const name = own === '' ? (kind === 'type3' ? 'Type 3 without a name' : 'without a name') : own;
    // One name may refer to an embedded and a missing font; the missing one matters.
    if (this.#fontKinds.get(name) !== 'missing') this.#fontKinds.set(name, kind);
    this.#fonts.add(name, shown);
  }

  #recordStroke(state: GraphicsState, shown: SourceBox): void {
    const width = state.lineWidth * thinnestStroke(state.ctm) * this.#page.space.mmPerUnit;
    if (Number.isFinite(width)) this.#strokes.add(Number(width.toPrecision(WIDTH_DIGITS)), shown);
  }

  #recordColors(painted: Painted, shown: SourceBox): void {
    const { state, image } = painted;
    const fills = painted.isFilled || image !== undefined;
    if ((fills && state.isFillOverprint) || (painted.isStroked && state.isStrokeOverprint)) {
      this.#overprint.add(shown);
    }
    if (painted.shading !== undefined) this.#blends.add(painted.shading, shown);
    if (!isColorTaken(painted)) return;
    for (const [isUsed, { pattern }] of [
      [fills, state.fill],
      [painted.isStroked, state.stroke],
    ] as const) {
      if (isUsed && pattern?.kind === 'shading') this.#blends.add(pattern.object, shown);
    }
    if (fills) this.#recordColor(state.fill, state.isFillOverprint, state.overprintMode, shown);
    if (painted.isStroked)
      this.#recordColor(state.stroke, state.isStrokeOverprint, state.overprintMode, shown);
  }

  #recordColor(color: Color, isOverprint: boolean, mode: number, shown: SourceBox): void {
    if (isOverprint && isWhiteLost(color, mode)) this.#whiteOverprint.add(shown);
    const percent = color.pattern === undefined ? inkPercent(color) : undefined;
    if (percent === undefined || !(percent > HEAVY_PERCENT)) return;
    const label = colorLabel(color);
    this.#percents.set(label, Math.max(percent, this.#percents.get(label) ?? 0));
    this.#colors.add(label, shown);
  }

  #recordPaint(painted: Painted, shown: SourceBox, isRectangle: boolean): void {
    const { state, image } = painted;
    const takesColor = isColorTaken(painted);
    const isWhiteFill = !painted.isFilled || isNearWhite(state.fill);
    const isWhiteStroke = !painted.isStroked || isNearWhite(state.stroke);
    if (!takesColor || !isWhiteFill || !isWhiteStroke) {
      if (painted.isFilled || image !== undefined || isThin(painted)) this.#paint.add(shown, false);
      return;
    }
    const isCovering =
      isRectangle &&
      painted.isFilled &&
      !painted.isStroked &&
      !isTransparent(painted) &&
      !state.isFillOverprint &&
      isUpright(state) &&
      isUnclipped(painted, shown, this.#page.box);
    if (isCovering) this.#paint.add(shown, true);
  }
}

/** Whether an object is painted with the color of the graphics state; images and shadings bring their own. */
const isColorTaken = ({ shadingSpace, image }: Painted): boolean =>
  shadingSpace === undefined && (image === undefined || image.isStencil);

const isBlended = ({ blendMode }: GraphicsState): boolean =>
  blendMode !== 'Normal' && blendMode !== 'Compatible';

function isTransparent({ kind, state, image, isStroked, isFilled }: Painted): boolean {
  const isFaint =
    (isStroked && state.strokeAlpha < 1) ||
    ((isFilled || kind === 'form' || image !== undefined) && state.fillAlpha < 1);
  return isFaint || isBlended(state) || state.softMask !== undefined || image?.softMask !== undefined;
}

/**
 * A stroke that fills its bounds: a straight vertical or horizontal line. Other strokes are left out: crop marks and
 * frames, drawn as one path around the page, would make the whole page seem painted.
 */
function isThin({ bounds, state }: Painted): boolean {
  const [a, b, c, d] = state.ctm;
  const thickest = state.lineWidth * Math.hypot(a, b, c, d);
  return Math.min(bounds.x1 - bounds.x0, bounds.y1 - bounds.y0) <= 1.5 * thickest;
}

const isUpright = ({ ctm: [a, b, c, d] }: GraphicsState): boolean =>
  (b === 0 && c === 0) || (a === 0 && d === 0);

/** Only the bounds of a clip are known. An object that reaches them may be cut to any shape. */
function isUnclipped({ bounds, clip }: Painted, shown: SourceBox, page: SourceBox): boolean {
  const isPage = clip.x0 <= page.x0 && clip.y0 <= page.y0 && clip.x1 >= page.x1 && clip.y1 >= page.y1;
  const isInside = clip.x0 < bounds.x0 && clip.y0 < bounds.y0 && clip.x1 > bounds.x1 && clip.y1 > bounds.y1;
  return (isPage || isInside) && shown.x1 > shown.x0 && shown.y1 > shown.y0;
}
