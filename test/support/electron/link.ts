/** What the stand-in, in a process of its own, and the test that started it say to each other. */

/** A page has no Electron: the test carries its messages, as the frame that sends them claims to be. */
export interface FrameFacts {
  readonly url: string;
  /** Whether it is a frame within another one. */
  readonly isInner: boolean;
}

/** From the stand-in to the test. */
export type Told =
  | { kind: 'entry-settled' | 'ready' | 'window-all-closed' | 'will-quit' | 'quit' }
  | { kind: 'window'; id: number; preload: string; width: number; height: number }
  | { kind: 'load'; id: number; url: string | undefined }
  | { kind: 'shown' | 'closed' | 'end-renderer'; id: number }
  | { kind: 'to-page'; id: number; channel: string; args: unknown[] }
  | { kind: 'answer'; call: number; value?: unknown; error?: string }
  | { kind: 'dialog'; call: number; name: string; options: Record<string, unknown> }
  | { kind: 'opened-path'; path: string };

/** From the test to the stand-in. */
export type Asked =
  | { kind: 'navigated'; id: number; url: string }
  | { kind: 'loaded'; id: number }
  | { kind: 'load-failed'; id: number; url: string; error: string }
  | { kind: 'renderer-gone'; id: number; reason: 'crashed' | 'killed' }
  | { kind: 'responsive' | 'unresponsive' | 'close'; id: number }
  | { kind: 'sent'; id: number; frame: FrameFacts; channel: string; args: unknown[] }
  | { kind: 'invoke'; call: number; id: number; frame: FrameFacts | null; channel: string; args: unknown[] }
  | { kind: 'request'; call: number; url: string }
  | { kind: 'may-navigate'; call: number; id: number; url: string }
  | { kind: 'dialog-answer'; call: number; value: unknown }
  | { kind: 'click'; call: number; labels: string[] }
  | { kind: 'click-all'; call: number }
  | { kind: 'menu-keys'; call: number; keys: string }
  | { kind: 'state'; call: number }
  | { kind: 'quit' };

export const tell = (message: Told): void => void process.send!(message);

type Heard<K extends Asked['kind']> = Extract<Asked, { kind: K }>;
const listeners = new Map<string, (message: never) => unknown>();

/** Listens for one kind of message. What the listener returns, or throws, answers a call. */
export function hear<K extends Asked['kind']>(kind: K, listener: (message: Heard<K>) => unknown): void {
  listeners.set(kind, listener);
}

export function startHearing(): void {
  process.on('message', (message: Asked) => {
    const listener = listeners.get(message.kind) as ((message: Asked) => unknown) | undefined;
    if (!listener) throw new Error(`The stand-in does not know ${message.kind}.`);
    if (!('call' in message) || message.kind === 'dialog-answer') return void listener(message);
    void (async () => listener(message))().then(
      (value) => tell({ kind: 'answer', call: message.call, value }),
      (error: unknown) => tell({ kind: 'answer', call: message.call, error: String(error) }),
    );
  });
}
