import type { PDFObject } from 'pdf-lib';
import type { Rect } from '../../measure/rect.ts';
import { boxUnion, type SourceBox } from '../page/page-space.ts';
import { boxOverlap, boxShown, isBoxEmpty } from './bounds.ts';
import { type ColorSpace, colorSpaceLabel, spaceUnder } from './color-space.ts';
import type { ContentLevel } from './content-level.ts';
import type { ContentPage } from './content-page.ts';
import type { Color } from './graphics-state.ts';
import type { Painted } from './painted.ts';
import { walkContent } from './walk.ts';

/** A color space or an ink in use: by how many objects, and where. */
export interface InkUse {
  readonly objects: number;
  /** The box around all of them. */
  readonly area: Rect<'drawn'>;
  /** The first few objects, each with its own box, in painting order. */
  readonly places: readonly Rect<'drawn'>[];
  /** Whether any of them overprints. */
  readonly isOverprinted: boolean;
}

export interface PageInks {
  /** Color spaces in use, in the order of first use; one for each label and base. */
  readonly spaces: readonly (InkUse & {
    readonly space: ColorSpace;
    readonly label: string;
    /** The tint transforms of all spaces of this label and base. */
    readonly tints: readonly PDFObject[];
  })[];
  /** Inks other than the process colors, by name. `All` counts: it prints on every plate. */
  readonly spots: readonly (InkUse & { readonly name: string })[];
  /** Objects whose color space cannot be determined. */
  readonly unknown: number;
}

const MAX_PLACES = 50;
const PROCESS_INKS = new Set(['Cyan', 'Magenta', 'Yellow', 'Black', 'None', '']);

interface Tally {
  objects: number;
  box: SourceBox;
  readonly places: SourceBox[];
  isOverprinted: boolean;
}

/** The color spaces and spot inks of everything that shows. @throws PdfProblem when the content cannot be read */
export async function pageInks(page: ContentPage): Promise<PageInks> {
  const spaces = new Map<string, Tally & { space: ColorSpace; tints: Set<PDFObject> }>();
  const spots = new Map<string, Tally>();
  /** Spaces found in the cells of tiling patterns, for later uses of the same pattern. */
  const cells = new Map<PDFObject, Set<ColorSpace>>();
  /** Patterns that take the color they are used with; what their cells paint is counted with that use. */
  const uncolored = new Set<PDFObject>();
  let unknown = 0;

  function count(space: ColorSpace, shown: SourceBox, isOverprinted: boolean): void {
    if (space.family === 'unknown') unknown++;
    const key = colorSpaceKey(space);
    const tally = spaces.get(key) ?? { ...newTally(), space, tints: new Set() };
    spaces.set(key, tally);
    add(tally, shown, isOverprinted);
    const { inks, tint } = spaceUnder(space);
    if (tint !== undefined) tally.tints.add(tint);
    for (const name of inks) {
      if (PROCESS_INKS.has(name)) continue;
      const spot = spots.get(name) ?? newTally();
      spots.set(name, spot);
      add(spot, shown, isOverprinted);
    }
  }

  function countColor(color: Color, shown: SourceBox, isOverprinted: boolean): void {
    const { pattern, space } = color;
    if (pattern === undefined) count(space, shown, isOverprinted);
    else if (pattern.kind === 'shading') count(pattern.space ?? space, shown, isOverprinted);
    else if (pattern.isUncolored && space.base !== undefined) {
      count(space.base, shown, isOverprinted);
      uncolored.add(pattern.object);
    } else for (const cell of cells.get(pattern.object) ?? []) count(cell, shown, isOverprinted);
  }

  function isUncolored(level: ContentLevel | undefined): boolean {
    if (level?.stream === undefined) return false;
    return uncolored.has(level.stream) || isUncolored(level.parent);
  }

  function visit(painted: Painted): void {
    const { kind, image, state, shadingSpace, level } = painted;
    const shown = boxOverlap(boxShown(painted), page.box);
    if (kind === 'form' || !painted.isVisible || isBoxEmpty(shown) || isUncolored(level)) return;
    const found: [color: Color | undefined, space: ColorSpace | undefined, isOverprinted: boolean][] = [];
    if (image !== undefined && !image.isStencil) {
      if (image.space === undefined) unknown++;
      else found.push([undefined, image.space, state.isFillOverprint]);
    } else if (shadingSpace !== undefined) {
      found.push([undefined, shadingSpace, state.isFillOverprint]);
    } else {
      if (painted.isFilled) found.push([state.fill, undefined, state.isFillOverprint]);
      if (painted.isStroked) found.push([state.stroke, undefined, state.isStrokeOverprint]);
    }
    for (const [color, space, isOverprinted] of found) {
      if (space !== undefined) count(space, shown, isOverprinted);
      if (color !== undefined) countColor(color, shown, isOverprinted);
      // What a cell paints, every other use of its pattern paints too.
      for (let at = level; at.parent !== undefined; at = at.parent) {
        if (at.kind !== 'pattern' || at.stream === undefined) continue;
        const cell = cells.get(at.stream) ?? new Set<ColorSpace>();
        cells.set(at.stream, cell);
        const painted = space ?? color?.space;
        if (painted) cell.add(painted);
      }
    }
  }

  await walkContent(page, { entersPatterns: true, entersGlyphs: true, onPainted: visit });
  const use = (tally: Tally): InkUse => ({
    objects: tally.objects,
    area: page.space.rectFromBox(tally.box),
    places: tally.places.map((box) => page.space.rectFromBox(box)),
    isOverprinted: tally.isOverprinted,
  });
  return {
    spaces: [...spaces.values()].map((tally) => ({
      label: colorSpaceLabel(tally.space),
      space: tally.space,
      tints: [...tally.tints],
      ...use(tally),
    })),
    spots: [...spots].map(([name, tally]) => ({ name, ...use(tally) })),
    unknown,
  };
}

const newTally = (): Tally => ({
  objects: 0,
  box: { x0: Infinity, y0: Infinity, x1: -Infinity, y1: -Infinity },
  places: [],
  isOverprinted: false,
});

function add(tally: Tally, shown: SourceBox, isOverprinted: boolean): void {
  tally.objects++;
  tally.box = boxUnion(tally.box, shown);
  if (tally.places.length < MAX_PLACES) tally.places.push(shown);
  tally.isOverprinted ||= isOverprinted;
}

/** The key includes the base of a space, because one ink may be defined in two ways. */
const colorSpaceKey = (space: ColorSpace): string =>
  `${colorSpaceLabel(space)} ${space.base === undefined ? '' : colorSpaceKey(space.base)}`;
