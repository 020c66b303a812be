import { setImmediate } from 'node:timers/promises';

/** Longest work between two checks for a cancel. */
const TURN_MS = 40;

/**
 * Await the returned function in the middle of work: a cancel arrives as a message, which is received only between two
 * turns of the event loop.
 */
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
 * Waits for work that cannot be interrupted. On a cancel, it stops waiting and throws the reason of the signal at once.
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
    // The result is not used, and an error must not go unhandled.
    work.catch(() => undefined);
    throw error;
  } finally {
    signal.removeEventListener('abort', stop);
  }
}
