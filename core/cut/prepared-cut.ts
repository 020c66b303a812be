import { type Result, resultOk, resultProblem } from '../measure/result.ts';
import { type Artwork, pageWithSpace, type SourcePage, visibleBox } from '../pdf/document/artwork.ts';
import { type ArtworkProblem, artworkProblem } from '../pdf/page/artwork-problem.ts';
import { boxIntersection, type Matrix, type SourceBox } from '../pdf/page/page-space.ts';
import type { PanelCut } from './cut-request.ts';
import { artMatrix, type PagePlan, pagePlan } from './panel-geometry.ts';

/** Where a panel is on its artwork page, and where its art is on the panel. */
export interface PreparedCut {
  readonly cut: PanelCut;
  readonly source: SourcePage;
  readonly plan: PagePlan;
  /** The printed area, in the artwork page's user space. */
  readonly clip: SourceBox;
  /** The area that can be cut at all. */
  readonly visible: SourceBox;
  /** Maps the artwork page's user space to the panel's page. */
  readonly matrix: Matrix;
}

/** Problems: those of the page, `cut-window-outside`, `cut-page-too-large`, `cut-page-too-small`. */
export function preparedCut(artwork: Artwork, cut: PanelCut): Result<PreparedCut, ArtworkProblem> {
  const found = pageWithSpace(artwork, cut.page, cut.box);
  if (!found.ok) return found;
  const { source, geometry, space } = found.value;
  const visible = visibleBox(geometry, cut.box);
  const clip = boxIntersection(space.boxFromRect(cut.window), visible);
  if (!clip) {
    return resultProblem(
      artworkProblem(
        'cut-window-outside',
        `The panel lies outside the artwork on page ${cut.page}: nothing would be printed.`,
        "Check the side's place on the page, or move the seams.",
      ),
    );
  }
  const planned = pagePlan(cut, cut.size);
  if (!planned.ok) return planned;
  const plan = planned.value;
  const matrix = artMatrix(
    space,
    { area: cut.window, printed: cut.printed },
    cut.scale,
    plan,
    cut.isMirrored,
  );
  return resultOk({ cut, source, plan, clip, visible, matrix });
}
