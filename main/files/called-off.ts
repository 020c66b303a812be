import { setImmediate } from 'node:timers/promises';

/** Longest work between two looks at whether to stop. */
const TURN_MS = 40;

/** To be waited for in the midst of work: a cancel comes as a message, which is received between two turns of the event loop. */
export function pauseBetweenTurns(signal: AbortSignal): () => Promise<void> {
  let turnEndsMs = performance.now() + TURN_MS;
  return async () => {
    if (performance.now() < turnEndsMs) return;
    await setImmediate();
    turnEndsMs = performance.now() + TURN_MS;
    signal.throwIfAborted();
  };
}

/**
 * The result of work that cannot be interrupted. When it is canceled, its caller stops waiting: the reason of the
 * signal is thrown at once.
 */
export async function unlessCalledOff<T>(work: Promise<T>, signal: AbortSignal | undefined): Promise<T> {
  if (!signal) return await work;
  const { promise: calledOff, reject } = Promise.withResolvers<never>();
  const stop = () => reject(signal.reason);
  signal.addEventListener('abort', stop, { once: true });
  try {
    signal.throwIfAborted();
    return await Promise.race([work, calledOff]);
  } catch (error) {
    // Its result is not used.
    work.catch(() => undefined);
    throw error;
  } finally {
    signal.removeEventListener('abort', stop);
  }
}
