/**
 * The screens' only way to main: one typed function over the contract. Replies are checked on arrival, as
 * requests are on the other side.
 */
import {
  Chosen,
  CONTRACT,
  type ContractReply,
  type ContractRequest,
  type ContractVerb,
  Progress,
} from '../../core/contract/contract.ts';
import { ScreenMessage } from '../../core/contract/screen-message.ts';
import type { Problem, Result } from '../../core/measure/result.ts';
import { type DesktopBridge, desktopTransport } from './desktop-transport.ts';
import { loopbackTransport } from './loopback-transport.ts';
import type { Transport } from './transport.ts';

declare global {
  interface Window {
    readonly panelwrightDesktop?: DesktopBridge;
  }
}

export interface AskOptions {
  readonly signal?: AbortSignal;
  readonly onProgress?: (progress: Progress) => void;
}

const transport: Transport = window.panelwrightDesktop
  ? desktopTransport(window.panelwrightDesktop)
  : loopbackTransport;

export const host = transport.host;

/** Hears what main says unasked; called once. The listener tells whether it could do what was asked. */
export function startHearing(listener: (message: ScreenMessage) => Promise<boolean>): void {
  transport.onMessage(async (raw) => await listener(ScreenMessage.parse(raw)));
}

export async function ask<V extends ContractVerb>(
  verb: V,
  request: ContractRequest<V>,
  options: AskOptions = {},
): Promise<Result<ContractReply<V>, Problem>> {
  const answer = await transport.ask(verb, request, {
    signal: options.signal,
    onProgress: (raw) => {
      const progress = Progress.safeParse(raw);
      if (progress.success) options.onProgress?.(progress.data);
    },
  });
  if (!answer.ok) return answer;
  const reply = CONTRACT[verb].reply.safeParse(answer.value);
  return reply.success
    ? { ok: true, value: reply.data as ContractReply<V> }
    : { ok: false, problem: badReply(verb) };
}

/** Asks without waiting, from a page that is going away. */
export function tell<V extends ContractVerb>(verb: V, request: ContractRequest<V>): void {
  transport.tell(verb, request);
}

/** Hands over a file that was dropped or picked on the page. */
export async function fileOffered(
  file: File,
  onProgress: (share: number) => void = () => {},
): Promise<Result<Chosen, Problem>> {
  const answer = await transport.offer(file, onProgress);
  if (!answer.ok) return answer;
  const chosen = Chosen.safeParse(answer.value);
  return chosen.success ? { ok: true, value: chosen.data } : { ok: false, problem: badReply('file') };
}

const badReply = (verb: string): Problem => ({
  code: 'bad-reply',
  message: `The program answered “${verb}” in a way that this page does not understand.`,
  remedy: 'Reload the page; if it happens again, the page and the program are of different versions.',
});
