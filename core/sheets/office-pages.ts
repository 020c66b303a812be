import type { SideLayout } from '../layout/side-layout.ts';
import { listBlock } from './blocks.ts';
import { cautionEntries, toolEntries } from './cautions.ts';
import { columnPages } from './column-pages.ts';
import {
  blocksTakenAlong,
  fewestPages,
  pagesFilled,
  SPACINGS,
  spacedContext,
  TAKEN_ALONG,
} from './fewest-pages.ts';
import { blockWhole } from './flow.ts';
import type { PageDraft } from './page-frame.ts';
import type { SheetContext } from './sheet-context.ts';
import { officeBlocks } from './side-blocks.ts';

const TITLE = 'Cautions, tools and panel sizes';
const COLUMNS = 2;

/** Last pages: cautions and tools, and figures for the office. */
export function officePages(context: SheetContext, layouts: readonly SideLayout[]): readonly PageDraft[] {
  const waysWith = (takenAlong: number) =>
    SPACINGS.map((spacing) => () => {
      const spaced = spacedContext(context, spacing);
      const blocks = [
        blockWhole(listBlock(spaced, 'Before and while you install', cautionEntries(spaced.job))),
        listBlock(spaced, 'Tools', toolEntries(layouts)),
        ...layouts.flatMap((layout) => officeBlocks(spaced, layout)),
      ];
      return pagesFilled(spaced, blocksTakenAlong(blocks, takenAlong), columnPages(spaced, TITLE, COLUMNS));
    });
  return fewestPages(waysWith(0), TAKEN_ALONG.flatMap(waysWith));
}
