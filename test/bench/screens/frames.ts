/** Script per frame of the bench, as Chromium's own trace has it; shared by the benchmarks that work the screens. */
import type { Page } from 'playwright-core';

export interface FrameFigures {
  readonly frames: number;
  readonly p50Ms: number;
  readonly p95Ms: number;
  readonly mostMs: number;
}

export const frameWords = ({ frames, p50Ms, p95Ms, mostMs }: FrameFigures): string =>
  `${frames} frames, script p50 ${p50Ms} ms, p95 ${p95Ms} ms, most ${mostMs} ms`;

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

/** The frames while `work` is done on the page. */
export const traceFrames = async (page: Page, work: () => Promise<void>): Promise<FrameFigures> =>
  frameFigures(await traced(page, work));

/** The longest task of the page's main thread while `work` is done, in the thread's own time. */
export async function longestTaskMs(page: Page, work: () => Promise<void>): Promise<number> {
  const events = await traced(page, work);
  const main = mainThread(events);
  const tasks = events.filter((event) => event.name === 'RunTask' && threadOf(event) === main);
  return Math.round(Math.max(0, ...tasks.map(({ dur = 0, tdur = dur }) => tdur)) / 100) / 10;
}

async function traced(page: Page, work: () => Promise<void>): Promise<readonly TraceEvent[]> {
  const browser = page.context().browser()!;
  await browser.startTracing(page, {
    categories: ['toplevel', 'devtools.timeline', 'disabled-by-default-devtools.timeline'],
  });
  await work();
  const trace = JSON.parse((await browser.stopTracing()).toString('utf8')) as { traceEvents: TraceEvent[] };
  return trace.traceEvents;
}

const threadOf = ({ pid, tid }: TraceEvent): string => `${pid} ${tid}`;
const commitsOf = (events: readonly TraceEvent[]) => events.filter(({ name }) => name === 'Commit');

/** The one that hands most frames to the compositor. */
function mainThread(events: readonly TraceEvent[]): string | undefined {
  const counts = Map.groupBy(commitsOf(events), threadOf);
  return [...counts].toSorted((a, b) => b[1].length - a[1].length)[0]?.[0];
}

/**
 * Sums the script between one frame's hand-over to the compositor and the next, on the page's main thread, in
 * the thread's own time, so that other work on the machine does not count.
 */
function frameFigures(events: readonly TraceEvent[]): FrameFigures {
  const main = mainThread(events);
  const commits = commitsOf(events).filter((event) => threadOf(event) === main);
  const ends = commits.map(({ ts }) => ts).toSorted((a, b) => a - b);
  const spans = events
    .filter((event) => threadOf(event) === main && event.ph === 'X' && SCRIPT.has(event.name))
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
