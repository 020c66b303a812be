import type { SideLayout } from '../layout/side-layout.ts';
import { timeText } from './crew-blocks.ts';
import { type SidePictures, vehicleTitle } from './crew-page.ts';
import type { InstallTimes } from './install-hours.ts';
import { bodyRect, type PageDraft } from './page-frame.ts';
import type { SheetContext } from './sheet-context.ts';
import { tileItems, tilesFillingRoom } from './side-tiles.ts';

/** One page for the wall: every side as large as possible, in install order, with people and hours. */
export function wallPage(
  context: SheetContext,
  layouts: readonly SideLayout[],
  artworkOf: SidePictures,
  times: InstallTimes,
): PageDraft {
  const { oneTo, tiles } = tilesFillingRoom(layouts, bodyRect(context.size));
  const all = times.all ? ` · ${times.all.hours} h` : '';
  return {
    head: { title: `${vehicleTitle(context, layouts)}${all}` },
    items: tiles.flatMap((tile, index) => {
      const { side, panels } = tile.layout;
      const count = panels.length === 1 ? '1 panel' : `${panels.length} panels`;
      const caption = `${index + 1}. ${side.code} ${side.name}`;
      const secondLine = `${count}${timeText(times, side.id)}`;
      return tileItems(context, tile, oneTo, {
        caption,
        secondLine,
        artwork: artworkOf(tile.layout),
        numberMm: 14,
      });
    }),
  };
}
