import { itemAt } from '../../measure/present.ts';
import { boxUnion, type SourceBox } from '../../pdf/page/page-space.ts';

export interface PaintArea {
  readonly box: SourceBox;
  readonly isWhite: boolean;
}

/** Most painted areas that are kept; artwork with a background needs only a few. */
const MAX_AREAS = 3000;

/**
 * The painted areas of a page as few boxes in painting order. Bounds overstate the paint, and white counts only where
 * it surely covers its box, so an area that is bare here is bare on the film.
 */
export class PaintAreas {
  #areas: PaintArea[] = [];
  isComplete = true;

  get areas(): readonly PaintArea[] {
    return this.#areas;
  }

  add(box: SourceBox, isWhite: boolean): void {
    if (!this.isComplete || isAlreadySo(this.#areas, box, isWhite)) return;
    if (isWhite) {
      this.#areas = this.#areas.filter((area) => !isWithin(area.box, box));
      // White on bare film changes nothing.
      if (!this.#areas.some((area) => isTouching(area.box, box))) return;
    }
    const last = this.#areas.at(-1);
    const joined = last?.isWhite === isWhite ? boxesJoined(last.box, box) : undefined;
    if (joined) this.#areas[this.#areas.length - 1] = { box: joined, isWhite };
    else this.#areas.push({ box, isWhite });
    this.isComplete = this.#areas.length <= MAX_AREAS;
  }
}

/** Whether one area already covers the box in the same way, with nothing of the other kind on top since. */
function isAlreadySo(areas: readonly PaintArea[], box: SourceBox, isWhite: boolean): boolean {
  for (let i = areas.length - 1; i >= 0; i--) {
    const area = itemAt(areas, i);
    if (area.isWhite === isWhite) {
      if (isWithin(box, area.box)) return true;
    } else if (isTouching(box, area.box)) return false;
  }
  return false;
}

/** Slivers between neighbors, in page units: far smaller than a dot. */
const GAP = 0.01;

/** The union of two boxes that are side by side or inside one another. */
function boxesJoined(a: SourceBox, b: SourceBox): SourceBox | undefined {
  const isSame = (p: number, q: number) => Math.abs(p - q) <= GAP;
  const isSameRow = isSame(a.y0, b.y0) && isSame(a.y1, b.y1) && a.x0 <= b.x1 + GAP && b.x0 <= a.x1 + GAP;
  const isSameColumn = isSame(a.x0, b.x0) && isSame(a.x1, b.x1) && a.y0 <= b.y1 + GAP && b.y0 <= a.y1 + GAP;
  return isSameRow || isSameColumn || isWithin(a, b) ? boxUnion(a, b) : undefined;
}

const isWithin = (inner: SourceBox, outer: SourceBox): boolean =>
  inner.x0 >= outer.x0 && inner.y0 >= outer.y0 && inner.x1 <= outer.x1 && inner.y1 <= outer.y1;

const isTouching = (a: SourceBox, b: SourceBox): boolean =>
  a.x0 < b.x1 && b.x0 < a.x1 && a.y0 < b.y1 && b.y0 < a.y1;
