/**
 * How much script a frame costs while a seam is dragged on a side of 60 panels, and while the bench is panned
 * and zoomed: `npm run bench bench-frames`. Frames and script are those of Chromium's own trace.
 */
import type { Page } from 'playwright-core';
import type { Region, RunRegion } from '../../core/job/schema.ts';
import { benchPoint, framesPassed, jobOpenedOn, workstationStarted } from '../browser/workstation.ts';
import { smallJob } from '../support/small-job.ts';

const COLUMNS = 10;
const ROWS = 6;
const MOVES = 150;

export async function run(): Promise<void> {
  const station = await workstationStarted();
  try {
    const base = smallJob();
    await station.smallJobAdded({ sides: [{ ...base.sides[0]!, layout: grid(3100, 1300) }] });
    const page = await station.window({ viewport: { width: 1920, height: 1080 } });
    await jobOpenedOn(page, base.number);
    await page.locator('.bench-status', { hasNotText: 'Drawing' }).waitFor();

    const drag = await traced(page, async () => {
      const from = await benchPoint(page, 1550, 100);
      await page.mouse.move(from.x, from.y);
      await page.mouse.down();
      for (let n = 0; n < MOVES; n++) {
        await page.mouse.move(from.x + 40 * Math.sin(n / 7), from.y + n / 10);
        await framesPassed(page);
      }
      await page.mouse.up();
    });
    const pan = await traced(page, async () => {
      const from = await benchPoint(page, 400, 200);
      await page.mouse.move(from.x, from.y);
      for (let n = 0; n < MOVES; n++) {
        if (n % 3 === 0) await page.mouse.wheel(0, n < MOVES / 2 ? -60 : 60);
        else await page.mouse.wheel(n % 2 === 0 ? 40 : -30, 0);
        await framesPassed(page);
      }
    });
    console.log(`Dragging a seam of ${COLUMNS * ROWS} panels: ${words(drag)}`);
    console.log(`Panning and zooming the same side: ${words(pan)}`);
    console.log(JSON.stringify({ panels: COLUMNS * ROWS, drag, pan }));
  } finally {
    await station.close();
  }
}

interface FrameFigures {
  readonly frames: number;
  readonly p50Ms: number;
  readonly p95Ms: number;
  readonly mostMs: number;
}

const words = ({ frames, p50Ms, p95Ms, mostMs }: FrameFigures): string =>
  `${frames} frames, script p50 ${p50Ms} ms, p95 ${p95Ms} ms, most ${mostMs} ms`;

/** Columns of equal width, each cut into equal rows. */
function grid(width: number, height: number): Region {
  const run = (seams: RunRegion['seams'], length: number, parts: Region[], name: string): Region => ({
    kind: 'run',
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

interface TraceEvent {
  readonly name: string;
  readonly ph: string;
  readonly ts: number;
  readonly dur?: number;
  /** Time that the thread itself ran. */
  readonly tdur?: number;
  readonly tid: number;
  readonly pid: number;
}

/** Frames with less script than this did nothing for the bench: they would make the figures look better. */
const LEAST_WORK_MS = 0.5;

/** Top-level pieces of script in a trace. */
const SCRIPT = new Set(['FireAnimationFrame', 'EventDispatch', 'TimerFire', 'RunMicrotasks', 'FunctionCall']);

async function traced(page: Page, work: () => Promise<void>): Promise<FrameFigures> {
  const browser = page.context().browser()!;
  await browser.startTracing(page, {
    categories: ['devtools.timeline', 'disabled-by-default-devtools.timeline'],
  });
  await work();
  const trace = JSON.parse((await browser.stopTracing()).toString('utf8')) as { traceEvents: TraceEvent[] };
  return frameFigures(trace.traceEvents);
}

/**
 * Sums the script between one frame's hand-over to the compositor and the next, on the page's main thread, in
 * the thread's own time, so that other work on the machine does not count.
 */
function frameFigures(events: readonly TraceEvent[]): FrameFigures {
  const thread = ({ pid, tid }: TraceEvent) => `${pid} ${tid}`;
  const commits = events.filter(({ name }) => name === 'Commit');
  const counts = Map.groupBy(commits, thread);
  const main = [...counts].toSorted((a, b) => b[1].length - a[1].length)[0]?.[0];
  const ends = (main === undefined ? [] : counts.get(main)!).map(({ ts }) => ts).toSorted((a, b) => a - b);
  const spans = events
    .filter((event) => thread(event) === main && event.ph === 'X' && SCRIPT.has(event.name))
    .toSorted((a, b) => a.ts - b.ts || (b.dur ?? 0) - (a.dur ?? 0));
  const perFrame = ends.map(() => 0);
  let [reached, frame] = [0, 0];
  for (const { ts, dur = 0, tdur = dur } of spans) {
    // A span within another is counted with it.
    if (ts < reached) continue;
    reached = ts + dur;
    while (frame < ends.length && ends[frame]! < ts) frame += 1;
    if (frame < ends.length) perFrame[frame]! += tdur / 1000;
  }
  const sorted = perFrame.filter((ms) => ms >= LEAST_WORK_MS).toSorted((a, b) => a - b);
  const at = (share: number) =>
    Math.round((sorted[Math.floor((sorted.length - 1) * share)] ?? 0) * 100) / 100;
  return { frames: sorted.length, p50Ms: at(0.5), p95Ms: at(0.95), mostMs: at(1) };
}
