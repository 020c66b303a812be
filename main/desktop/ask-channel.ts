/** The desktop's end of the contract: takes messages from our own screens only, answers, reports, cancels. */
import type { IpcMain, WebContents } from 'electron';
import { z } from 'zod';
import { resultOk, resultProblem } from '../../core/measure/result.ts';
import { type Answer, answerRequest } from '../contract/answer.ts';
import type { AskContext } from '../contract/handlers.ts';
import type { Services } from '../services/services.ts';
import { ASK_CHANNEL, CANCEL_CHANNEL, PROGRESS_CHANNEL } from './channels.ts';
import { isOwnSender } from './security.ts';

const AskMessage = z.strictObject({
  verb: z.string(),
  request: z.unknown(),
  ticket: z.number().int().positive(),
});
/** The preload learns the path of a dropped file from Electron; only files of these kinds are taken. */
const DroppedMessage = z.strictObject({ dropped: z.string().regex(/\.(pdf|pwjob)$/i) });

export interface AskChannel {
  /** Cancels all requests of a window: the answers are not needed any more. */
  cancelAll(clientId: string): void;
}

/** `services` are those of the archive that is open now; none are there while a backup takes its place. */
export function setUpAskChannel(
  ipc: Pick<IpcMain, 'handle' | 'on'>,
  services: () => Pick<Services, 'handlers' | 'chosen'> | undefined,
  reportBug: (error: unknown) => void,
): AskChannel {
  const running = new Map<string, Map<number, AbortController>>();

  ipc.handle(ASK_CHANNEL, async (event, message: unknown): Promise<Answer> => {
    if (!isOwnSender(event)) return foreignSender;
    const clientId = clientIdOf(event.sender);
    const open = services();
    if (!open) return betweenArchives;
    const { handlers, chosen } = open;
    const dropped = DroppedMessage.safeParse(message);
    if (dropped.success) return resultOk(chosen.add(dropped.data.dropped, 'file', clientId));
    const ask = AskMessage.safeParse(message);
    if (!ask.success) return malformed;
    const { verb, request, ticket } = ask.data;
    const abort = new AbortController();
    const tickets = running.get(clientId) ?? new Map<number, AbortController>();
    running.set(clientId, tickets.set(ticket, abort));
    const context: AskContext = {
      clientId,
      signal: abort.signal,
      report: (progress) => {
        if (!event.sender.isDestroyed()) event.sender.send(PROGRESS_CHANNEL, ticket, progress);
      },
    };
    try {
      return await answerRequest(handlers, verb, request, context, reportBug);
    } finally {
      tickets.delete(ticket);
    }
  });

  ipc.on(CANCEL_CHANNEL, (event, ticket: unknown) => {
    if (isOwnSender(event)) running.get(clientIdOf(event.sender))?.get(Number(ticket))?.abort();
  });

  return {
    cancelAll(clientId) {
      for (const abort of running.get(clientId)?.values() ?? []) abort.abort();
      running.delete(clientId);
    },
  };
}

/** Whose locks, chosen files and questions a window's are. */
export const clientIdOf = ({ id }: Pick<WebContents, 'id'>): string => `window-${id}`;

const foreignSender: Answer = resultProblem({
  code: 'bad-request',
  message: 'The question came from a page that is not a screen of this program.',
  remedy: 'Close the window and start Panelwright again.',
});

const betweenArchives: Answer = resultProblem({
  code: 'archive-closed',
  message: 'A backup is being put in the place of the archive.',
  remedy: 'Wait until the list of jobs is shown again.',
});

const malformed: Answer = resultProblem({
  code: 'bad-request',
  message: 'The message from the window is not valid.',
  remedy: 'Reload the window; if it happens again, report it.',
});
