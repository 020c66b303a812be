/**
 * Walks content as a renderer would, but paints nothing and reports where everything would be painted, including forms,
 * layers, clips, patterns, masks and glyphs.
 */
import type { ContentLevel } from './content-level.ts';
import { GraphicsState } from './graphics-state.ts';
import { OPERATORS } from './operators.ts';
import type { ContentVisitor } from './painted.ts';
import { StreamWalk } from './stream-walk.ts';
import { Walk, type WalkedPage } from './walk-state.ts';

/** Walks a page. @throws PdfProblem when its content cannot be read or has no end. */
export async function walkContent(page: WalkedPage, visitor: ContentVisitor): Promise<void> {
  const walk = new Walk(page, visitor);
  const level: ContentLevel = {
    kind: 'page',
    stream: undefined,
    ref: undefined,
    parent: undefined,
    depth: 0,
    isByProxy: false,
    area: undefined,
  };
  const state = new GraphicsState([1, 0, 0, 1, 0, 0], page.box);
  const stream = new StreamWalk(OPERATORS, walk, level, walk.resourcesOf(page.resources), {
    state,
    isVisible: true,
  });
  visitor.onStreamBegun?.(level, undefined);
  await stream.run(page.contents());
  visitor.onStreamEnded?.(level);
}
