import type { RasterPicture } from '../drawing/drawing.ts';
import type { FontMetrics } from '../drawing/font-library.ts';
import { type Job, MapPage, type Side } from '../job/schema.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import { layoutsInInstallOrder } from '../layout/side-order.ts';
import type { MeasuredCoverage } from '../production/job-coverage.ts';
import { crewPages } from './crew-page.ts';
import { heatPages } from './heat-page.ts';
import { installTimes } from './install-hours.ts';
import { officePages } from './office-pages.ts';
import type { PageDraft, Sheet } from './page-frame.ts';
import { cardPages, hasCards } from './panel-cards.ts';
import { type SheetContext, type SheetOptions, sheetContext } from './sheet-context.ts';
import { SHEET_SIZES, type SheetSizeName } from './sheet-size.ts';
import { sidePages } from './side-pages.ts';
import { sheetsWithTexts } from './text-pages.ts';
import { wallPage } from './wall-page.ts';

export interface InstallMapOptions extends SheetOptions {
  readonly fonts: FontMetrics;
  /** Sheet size; absent: the job's sheet size. */
  readonly sheet?: SheetSizeName;
  /**
   * A picture of a side, cropped exactly to its outline, at any resolution (1,500 pixels across are plenty). Without it
   * the map is a line drawing.
   */
  readonly artworkPicture?: (side: Side) => RasterPicture | undefined;
  /** Ink coverage where it was computed: the drying time depends on it. */
  readonly measured?: MeasuredCoverage | undefined;
}

export const INSTALL_MAP = 'Install map';

/**
 * The install map: page one for the crew, then each side with its cards, the heat plan, a page for the wall, notes for
 * the office and cautions, and texts that were too long for their place. The job selects the kinds of pages.
 */
export function installMap(
  job: Job,
  allLayouts: readonly SideLayout[],
  options: InstallMapOptions,
): readonly Sheet[] {
  const size = SHEET_SIZES[options.sheet ?? job.output.mapSheet];
  const context = sheetContext(job, options.fonts, size, options);
  const isReprint = context.reprintedIds.size > 0;
  const layouts = layoutsInInstallOrder(
    job,
    isReprint
      ? allLayouts.filter(({ panels }) => panels.some(({ id }) => context.reprintedIds.has(id)))
      : allLayouts,
  );
  // One picture object per side, so that the document stores it once.
  const pictures = new Map(layouts.map((layout) => [layout, options.artworkPicture?.(layout.side)]));
  const artworkOf = (layout: SideLayout) => pictures.get(layout);
  const times = installTimes(job, layouts, isReprint);
  const kinds = job.sheets?.mapPages ?? MapPage.options;
  const hasCrewPage = kinds.includes('crew');
  const pages: Readonly<Record<MapPage, () => readonly PageDraft[]>> = {
    crew: () => crewPages(context, layouts, artworkOf, times, options.measured),
    sides: () => layouts.flatMap((layout) => pagesOfSide(context, layout, artworkOf(layout), hasCrewPage)),
    heat: () => heatPages(context, layouts, artworkOf),
    // The wall page is only for a vehicle that starts without film.
    wall: () => (isReprint ? [] : [wallPage(context, layouts, artworkOf, times)]),
    cautions: () => officePages(context, layouts),
  };
  // With no kind selected, the map would be empty.
  const chosen = MapPage.options.filter((kind) => kinds.includes(kind));
  const drafts = (chosen.length > 0 ? chosen : (['sides'] as const)).flatMap((kind) => pages[kind]());
  return sheetsWithTexts(context, INSTALL_MAP, drafts.length > 0 ? drafts : pages.sides());
}

function pagesOfSide(
  context: SheetContext,
  layout: SideLayout,
  artwork: RasterPicture | undefined,
  hasCrewPage: boolean,
): readonly PageDraft[] {
  return [
    ...sidePages(context, layout, artwork, hasCrewPage),
    ...(hasCards(context.job, layout) ? cardPages(context, layout, artwork) : []),
  ];
}
