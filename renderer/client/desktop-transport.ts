/** Questions through the desktop's preload. */
import type { Problem, Result } from '../../core/measure/result.ts';
import { type Transport, unreachable } from './transport.ts';

/** What the preload exposes, as seen from here; the screens import nothing of main. */
export interface DesktopBridge {
  ask(
    verb: string,
    request: unknown,
    onProgress: (progress: unknown) => void,
  ): { readonly answer: Promise<unknown>; cancel(): void };
  dropped(file: File): Promise<unknown>;
  onMessage(listener: (message: unknown) => Promise<boolean>): void;
}

export function desktopTransport(bridge: DesktopBridge): Transport {
  return {
    host: 'desktop',
    async ask(verb, request, { signal, onProgress }) {
      const { answer, cancel } = bridge.ask(verb, request, onProgress);
      signal?.addEventListener('abort', cancel, { once: true });
      try {
        return (await answer) as Result<unknown, Problem>;
      } catch {
        return { ok: false, problem: unreachable };
      } finally {
        signal?.removeEventListener('abort', cancel);
      }
    },
    tell(verb, request) {
      bridge.ask(verb, request, () => undefined).answer.catch(() => undefined);
    },
    offer: async (file) => (await bridge.dropped(file)) as Result<unknown, Problem>,
    onMessage: (listener) => bridge.onMessage(listener),
  };
}
