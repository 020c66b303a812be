import type { Problem, Result } from '../../core/measure/result.ts';

/** How a request reaches main: the desktop's bridge or the loopback host. The client checks the replies. */
export interface Transport {
  readonly host: 'desktop' | 'browser';
  /** Before the first question; answers with the reason where this page may ask nothing. */
  enter(): Promise<Problem | undefined>;
  /** An address that lets one more tab in, where there are tabs. */
  newTabAddress(): Promise<Result<string>>;
  ask(
    verb: string,
    request: unknown,
    options: { readonly signal?: AbortSignal | undefined; readonly onProgress: (progress: unknown) => void },
  ): Promise<unknown>;
  /** Hands over a file that was dropped or picked on the page; answers with a chosen file. */
  offer(file: File, onProgress: (share: number) => void): Promise<unknown>;
  /**
   * Sends a request without waiting for its answer, because the page is going away; false where it is too large for
   * that.
   */
  tell(verb: string, request: unknown): boolean;
  /**
   * Messages that main sends on its own, where there is a desktop window; the listener returns whether it could act on
   * one.
   */
  onMessage(listener: (message: unknown) => Promise<boolean>): void;
}

export const unreachable: Problem = {
  code: 'unreachable',
  message: 'The program behind this page does not answer.',
  remedy: 'Start Panelwright again. What this page called saved is in the archive.',
};
