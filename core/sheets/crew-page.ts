import { BLACK, type Item, PAPER, type RasterPicture } from '../drawing/drawing.ts';
import { vehicleText } from '../job/vehicles.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import { firstOf } from '../measure/present.ts';
import type { Rect } from '../measure/rect.ts';
import type { MeasuredCoverage } from '../production/job-coverage.ts';
import { columnPages, columnsOf, isTwoColumns } from './column-pages.ts';
import { crewBlocks, timeText } from './crew-blocks.ts';
import {
  blocksTakenAlong,
  type FilledPages,
  fewestPages,
  pagesFilled,
  SPACINGS,
  smallTextContext,
  spacedContext,
  TAKEN_ALONG,
} from './fewest-pages.ts';
import type { FlowBlock } from './flow.ts';
import type { InstallTimes } from './install-hours.ts';
import { bodyRect, type PageDraft, type PageHead } from './page-frame.ts';
import type { SheetContext } from './sheet-context.ts';
import { scaleDesignation } from './sheet-scale.ts';
import { tileItems, tilesInRoom } from './side-tiles.ts';

/** Shares of the body for the pictures; the rest is for the lists. Pictures are small where that saves a page. */
const PICTURE_SHARES: readonly number[] = [0.5, 0.26];
/** Two table columns, or on a large sheet three with smaller text where that saves a page. */
const COLUMNS: readonly number[] = [2, 3];

export type SidePictures = (layout: SideLayout) => RasterPicture | undefined;

/** Page one: the whole vehicle in color, and what the crew needs before the first panel. Keeps SH9. */
export function crewPages(
  context: SheetContext,
  layouts: readonly SideLayout[],
  artworkOf: SidePictures,
  times: InstallTimes,
  measured: MeasuredCoverage | undefined,
): readonly PageDraft[] {
  const counts = isTwoColumns(bodyRect(context.size)) ? COLUMNS : COLUMNS.slice(0, 1);
  const waysWith = (takenAlong: number) =>
    counts.flatMap((count) =>
      PICTURE_SHARES.flatMap((share) =>
        SPACINGS.map((spacing) => () => {
          const sized = count === COLUMNS[0] ? context : smallTextContext(context);
          const spaced = spacedContext(sized, spacing);
          const blocks = blocksTakenAlong(crewBlocks(spaced, layouts, times, measured), takenAlong);
          return crewPagesWith(spaced, layouts, { artworkOf, times }, { share, count }, blocks);
        }),
      ),
    );
  return fewestPages(waysWith(0), TAKEN_ALONG.flatMap(waysWith));
}

function crewPagesWith(
  context: SheetContext,
  layouts: readonly SideLayout[],
  { artworkOf, times }: { readonly artworkOf: SidePictures; readonly times: InstallTimes },
  { share, count }: { readonly share: number; readonly count: number },
  blocks: readonly FlowBlock[],
): FilledPages {
  const body = bodyRect(context.size);
  const room: Rect = { ...body, height: body.height * share };
  const { oneTo, tiles } = tilesInRoom(layouts, room);
  const head: PageHead = { title: vehicleTitle(context, layouts), scale: scaleDesignation(oneTo) };
  const first: PageDraft = {
    head,
    items: tiles.flatMap((tile) => {
      const { layout } = tile;
      const caption = `${layout.side.code} ${layout.side.name}${timeText(times, layout.side.id)}`;
      return tileItems(context, tile, oneTo, {
        caption,
        artwork: artworkOf(layout),
        onPanel: (net, { id }) => (context.reprintedIds.has(id) ? reprintedFrame(net) : []),
      });
    }),
  };
  const bottom = Math.max(body.y, ...tiles.map(({ rect }) => rect.y + rect.height)) + 4;
  const free = columnsOf(
    first,
    { xMm: body.x, yMm: bottom, widthMm: body.width, heightMm: body.y + body.height - bottom },
    count,
  );
  const columns = columnPages(context, head.title, count, { page: first, columns: free });
  return pagesFilled(context, blocks, columns);
}

/** Marks reprinted panels in the picture. */
const reprintedFrame = (net: Rect): Item[] => [
  { kind: 'rect', tag: 'reprinted', rect: net, stroke: { widthMm: 1, black: BLACK.black } },
  { kind: 'rect', tag: 'reprinted', rect: net, stroke: { widthMm: 0.35, black: PAPER.black } },
];

/** `Unit 12 · AL 4471 · 3 sides · 17 panels`, `BM-07 and BM-08 · 3 sides · 17 panels each`, or `Unit 12 · REPRINT LH-01, LH-03` */
export function vehicleTitle({ job, reprintedIds }: SheetContext, layouts: readonly SideLayout[]): string {
  if (reprintedIds.size > 0) {
    const labels = layouts.flatMap(({ panels }) =>
      panels.filter(({ id }) => reprintedIds.has(id)).map(({ label }) => label),
    );
    return `${vehicleText(job)} · REPRINT ${labels.join(', ')}`;
  }
  const count = layouts.reduce((sum, { panels }) => sum + panels.length, 0);
  const sides = layouts.length === 1 ? '1 side' : `${layouts.length} sides`;
  const each = job.vehicles.length === 1 && firstOf(job.vehicles).units.length > 1 ? ' each' : '';
  return `${vehicleText(job)} · ${sides} · ${count === 1 ? '1 panel' : `${count} panels`}${each}`;
}
