/** Where a side is on a page of an artwork: maps the page's user space to the side and back. */
import type { Side } from '../job/schema.ts';
import { rectFromStored } from '../job/stored-rect.ts';
import type { Rect } from '../measure/rect.ts';
import { finishedFromDrawn, type SpaceTransform } from '../measure/spaces.ts';
import type { PageSpace, SourceBox } from '../pdf/page/page-space.ts';

export class SidePlace {
  readonly space: PageSpace;
  readonly #transform: SpaceTransform<'drawn', 'finished'>;

  constructor({ artworkRect }: Pick<Side, 'artworkRect'>, scale: number, space: PageSpace) {
    this.space = space;
    this.#transform = finishedFromDrawn(rectFromStored(artworkRect), scale);
  }

  rect(box: SourceBox): Rect<'finished'> {
    return this.#transform.rect(this.space.rectFromBox(box));
  }

  box(rect: Rect<'finished'>): SourceBox {
    return this.space.boxFromRect(this.#transform.rectBack(rect));
  }

  drawn(rect: Rect<'finished'>): Rect<'drawn'> {
    return this.#transform.rectBack(rect);
  }
}
