/**
 * Watches the CPU use of a thread. The limit is CPU, not time, so pictures still come from a machine that is slow, busy
 * or was asleep. Only a thread that uses no CPU and sends nothing for a minute is ended.
 */
import type { Worker } from 'node:worker_threads';

export interface WatchLimits {
  /** CPU limit of the thread, counted from the first check. */
  readonly cpuSeconds: number;
  readonly lookMs: number;
  /** A thread that is idle for this many checks in a row is ended. */
  readonly idleLooks: number;
}

const LOOK_MS = 1000;
const IDLE_LOOKS = 60;
/** Less CPU than this between two checks counts as none. */
const IDLE_CPU_SECONDS = 0.001;

export type WatchEnd = 'too-slow' | 'no-answer';

/** Calls `give` at most once, and never after the returned function was called. */
export function watchThread(
  thread: Pick<Worker, 'cpuUsage'>,
  {
    cpuSeconds,
    lookMs = LOOK_MS,
    idleLooks = IDLE_LOOKS,
  }: Partial<WatchLimits> & Pick<WatchLimits, 'cpuSeconds'>,
  give: (end: WatchEnd) => void,
): () => void {
  let begun: number | undefined;
  let seen = 0;
  let idle = 0;
  let isOver = false;
  const look = async (): Promise<void> => {
    const used = await threadCpuSeconds(thread);
    if (isOver) return;
    begun ??= used;
    idle = used === undefined || used - seen < IDLE_CPU_SECONDS ? idle + 1 : 0;
    seen = used ?? seen;
    const isTooSlow = seen - (begun ?? seen) > cpuSeconds;
    if (!isTooSlow && idle < idleLooks) return;
    stop();
    give(isTooSlow ? 'too-slow' : 'no-answer');
  };
  const timer = setInterval(look, lookMs);
  void look();
  const stop = (): void => {
    isOver = true;
    clearInterval(timer);
  };
  return stop;
}

/**
 * Undefined for a thread that has not started yet or has ended. Before Node 24.6 threads have no CPU times; the process
 * has.
 */
async function threadCpuSeconds(thread: Partial<Pick<Worker, 'cpuUsage'>>): Promise<number | undefined> {
  try {
    const { user, system } = (await thread.cpuUsage?.()) ?? process.cpuUsage();
    return (user + system) / 1e6;
  } catch {
    return undefined;
  }
}
