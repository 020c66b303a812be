/**
 * How much script a frame costs while a seam is dragged on a side of 60 panels, and while the bench is panned
 * and zoomed: `npm run bench bench-frames`. Frames and script are those of Chromium's own trace.
 */
import type { Region, SplitRegion } from '../../core/job/schema.ts';
import { benchPoint, closeShared, openJobOn, passFrames, startWorkstation } from '../browser/workstation.ts';
import { smallJob } from '../support/small-job.ts';
import { frameWords, traceFrames } from './screens/frames.ts';

const COLUMNS = 10;
const ROWS = 6;
const MOVES = 150;

export async function run(): Promise<void> {
  const station = await startWorkstation();
  try {
    const base = smallJob();
    await station.smallJobAdded({ sides: [{ ...base.sides[0]!, layout: grid(3100, 1300) }] });
    const page = await station.window({ viewport: { width: 1920, height: 1080 } });
    await openJobOn(page, base.number);
    await page.locator('.bench-status', { hasNotText: 'Drawing' }).waitFor();

    const drag = await traceFrames(page, async () => {
      const from = await benchPoint(page, 1550, 100);
      await page.mouse.move(from.x, from.y);
      await page.mouse.down();
      for (let n = 0; n < MOVES; n++) {
        await page.mouse.move(from.x + 40 * Math.sin(n / 7), from.y + n / 10);
        await passFrames(page);
      }
      await page.mouse.up();
    });
    const pan = await traceFrames(page, async () => {
      const from = await benchPoint(page, 400, 200);
      await page.mouse.move(from.x, from.y);
      for (let n = 0; n < MOVES; n++) {
        if (n % 3 === 0) await page.mouse.wheel(0, n < MOVES / 2 ? -60 : 60);
        else await page.mouse.wheel(n % 2 === 0 ? 40 : -30, 0);
        await passFrames(page);
      }
    });
    console.log(`Dragging a seam of ${COLUMNS * ROWS} panels: ${frameWords(drag)}`);
    console.log(`Panning and zooming the same side: ${frameWords(pan)}`);
    console.log(JSON.stringify({ panels: COLUMNS * ROWS, drag, pan }));
  } finally {
    await station.close();
    await closeShared();
  }
}

/** Columns of equal width, each cut into equal rows. */
function grid(width: number, height: number): Region {
  const run = (seams: SplitRegion['seams'], length: number, parts: Region[], name: string): Region => ({
    kind: 'split',
    seams,
    joints: parts.slice(1).map((_, index) => ({
      id: `${name}j${index}`,
      kind: 'lap',
      atMm: (length * (index + 1)) / parts.length,
      firstMm: 15,
      secondMm: 10,
      top: 'first',
    })),
    parts,
  });
  const columns = Array.from({ length: COLUMNS }, (_, column) => {
    const rows = Array.from(
      { length: ROWS },
      (_, row): Region => ({ kind: 'panel', id: `p${column}-${row}` }),
    );
    return run('horizontal', height, rows, `c${column}`);
  });
  return run('vertical', width, columns, 'v');
}
