/**
 * The screens' only way to main: one typed function over the contract. Replies are checked on arrival, as
 * requests are on the other side.
 */

import type { z } from 'zod';
import { Answer } from '../../core/contract/answer.ts';
import {
  CONTRACT,
  type ContractReply,
  type ContractRequest,
  type ContractVerb,
} from '../../core/contract/contract.ts';
import { Chosen, Progress } from '../../core/contract/parts.ts';
import { ScreenMessage } from '../../core/contract/screen-message.ts';
import type { Problem, Result } from '../../core/measure/result.ts';
import { type DesktopBridge, desktopTransport } from './desktop-transport.ts';
import { isEntryAddress, loopbackTransport } from './loopback-transport.ts';
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

export { isEntryAddress };

export const host = transport.host;

/** Called once, before anything is asked; answers with the reason where this page may ask nothing. */
export const enter = (): Promise<Problem | undefined> => transport.enter();

/** In a browser: an address that lets one more tab in, once. */
export const newTabAddress = (): Promise<Result<string>> => transport.newTabAddress();

/** Listens to messages that main sends on its own; called once. The listener returns whether it could act on one. */
export function startHearing(listener: (message: ScreenMessage) => Promise<boolean>): void {
  transport.onMessage(async (raw) => {
    const message = ScreenMessage.safeParse(raw);
    return message.success && (await listener(message.data));
  });
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
  return checked(verb, CONTRACT[verb].reply, answer) as Result<ContractReply<V>, Problem>;
}

/** Asks without waiting, from a page that is going away; false where the request is larger than such a page may send. */
export const tell = <V extends ContractVerb>(verb: V, request: ContractRequest<V>): boolean =>
  transport.tell(verb, request);

/** Hands over a file that was dropped or picked on the page. */
export async function offerFile(
  file: File,
  onProgress: (share: number) => void = () => {},
): Promise<Result<Chosen, Problem>> {
  return checked('file', Chosen, await transport.offer(file, onProgress));
}

/** Reads an answer: one that does not fit the contract becomes a problem, too. */
function checked<S extends z.ZodType>(asked: string, schema: S, raw: unknown): Result<z.infer<S>, Problem> {
  const answer = Answer.safeParse(raw);
  if (!answer.success) return { ok: false, problem: badReply(asked) };
  if (!answer.data.ok) return answer.data;
  const reply = schema.safeParse(answer.data.value);
  return reply.success ? { ok: true, value: reply.data } : { ok: false, problem: badReply(asked) };
}

const badReply = (asked: string): Problem => ({
  code: 'bad-reply',
  message: `The program answered “${asked}” in a way that this page does not understand.`,
  remedy: 'Reload the page; if it happens again, the page and the program are of different versions.',
});
