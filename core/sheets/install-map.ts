import type { RasterPicture } from '../drawing/drawing.ts';
import type { FontMetrics } from '../drawing/font-library.ts';
import type { Job, Side } from '../job/schema.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import { layoutsInInstallOrder } from '../layout/side-order.ts';
import { listBlock } from './blocks.ts';
import { cautionEntries, installTimeEntries, toolEntries } from './cautions.ts';
import { isTwoColumns } from './column-pages.ts';
import { blocksBeside, type FlowBlock } from './flow.ts';
import { type JobBlocks, overviewPages } from './overview-page.ts';
import { bodyRect, type PageDraft, type Sheet } from './page-frame.ts';
import { pictureLightened } from './picture.ts';
import { type SheetContext, type SheetOptions, sheetContext } from './sheet-context.ts';
import { SHEET_SIZES, type SheetSizeName } from './sheet-size.ts';
import { sidePages } from './side-pages.ts';
import { sheetsWithTexts } from './text-pages.ts';

export interface InstallMapOptions extends SheetOptions {
  readonly fonts: FontMetrics;
  /** The job's own choice where absent. */
  readonly sheet?: SheetSizeName;
  /**
   * A picture of a side, exactly its outline, at whatever resolution is at hand (1,500 pixels across are
   * plenty). Without it the map is a line drawing.
   */
  readonly artworkPicture?: (side: Side) => RasterPicture | undefined;
}

export const INSTALL_MAP = 'Install map';

/**
 * The install map: an overview where there is more than one side, pages per side, cautions, and whatever text
 * was too long for its place. Everything is placed here; a writer only puts it on paper.
 */
export function installMap(
  job: Job,
  allLayouts: readonly SideLayout[],
  options: InstallMapOptions,
): readonly Sheet[] {
  const size = SHEET_SIZES[options.sheet ?? job.output.mapSheet];
  const context = sheetContext(job, options.fonts, size, options);
  const layouts = layoutsInInstallOrder(
    context.reprintedIds.size === 0
      ? allLayouts
      : allLayouts.filter(({ panels }) => panels.some(({ id }) => context.reprintedIds.has(id))),
  );
  const pictures = new Map<SideLayout, RasterPicture | undefined>();
  for (const layout of layouts) {
    const picture = options.artworkPicture?.(layout.side);
    pictures.set(layout, picture && pictureLightened(picture));
  }
  const artworkOf = (layout: SideLayout) => pictures.get(layout);
  const hasOverview = layouts.length > 1 && context.reprintedIds.size === 0;
  const pages: PageDraft[] = [
    ...(hasOverview ? overviewPages(context, layouts, artworkOf, (now) => jobBlocks(now, layouts)) : []),
    ...layouts.flatMap((layout) =>
      sidePages(
        context,
        layout,
        artworkOf(layout),
        hasOverview ? () => [] : (now) => closingBlocks(now, layouts),
      ),
    ),
  ];
  return sheetsWithTexts(context, INSTALL_MAP, pages);
}

/** What holds for the whole job, after the pages of its only side. */
function closingBlocks(context: SheetContext, layouts: readonly SideLayout[]): FlowBlock[] {
  const { cautions, others } = jobBlocks(context, layouts);
  const [tools, notes] = others;
  const isWide = !isTwoColumns(bodyRect(context.size));
  return tools && notes && isWide ? [cautions, blocksBeside(tools, notes)] : [cautions, ...others];
}

function jobBlocks(context: SheetContext, layouts: readonly SideLayout[]): JobBlocks {
  const { job, reprintedIds } = context;
  const times = reprintedIds.size === 0 ? installTimeEntries(job, layouts) : [];
  const notes = listBlock(context, 'Notes on the job', [{ mark: '•', text: job.notes }]);
  return {
    cautions: listBlock(context, 'Before and while you install', cautionEntries(job)),
    others: [
      listBlock(context, 'Tools and temperatures', [...toolEntries(job, layouts), ...times]),
      ...(job.notes.trim() ? [notes] : []),
    ],
  };
}
