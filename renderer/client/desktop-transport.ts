/** Questions through the desktop's preload. */
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
    enter: async () => undefined,
    newTabAddress: async () => ({ ok: false, problem: unreachable }),
    async ask(verb, request, { signal, onProgress }) {
      const { answer, cancel } = bridge.ask(verb, request, onProgress);
      signal?.addEventListener('abort', cancel, { once: true });
      try {
        return await answer;
      } catch {
        return { ok: false, problem: unreachable };
      } finally {
        signal?.removeEventListener('abort', cancel);
      }
    },
    tell(verb, request) {
      bridge.ask(verb, request, () => undefined).answer.catch(() => undefined);
      return true;
    },
    offer: (file) => bridge.dropped(file).catch(() => ({ ok: false, problem: unreachable })),
    onMessage: (listener) => bridge.onMessage(listener),
  };
}
