/** The desktop's end of the contract: takes messages from our own screens only, answers, reports, cancels. */
import type { IpcMain, IpcMainEvent, IpcMainInvokeEvent } from 'electron';
import { z } from 'zod';
import { resultOk, resultProblem } from '../../core/measure/result.ts';
import { type Answer, contractAnswer } from '../contract/answer.ts';
import type { ChosenFiles } from '../contract/chosen-files.ts';
import type { Handlers } from '../contract/handlers.ts';
import { ASK_CHANNEL, CANCEL_CHANNEL, PROGRESS_CHANNEL } from './channels.ts';
import { isOwnScreen } from './security.ts';

const AskMessage = z.strictObject({
  verb: z.string(),
  request: z.unknown(),
  ticket: z.number().int().positive(),
});
/** The preload learns the path of a dropped file from Electron; only files of these kinds are taken. */
const DroppedMessage = z.strictObject({ dropped: z.string().regex(/\.(pdf|pwjob)$/i) });

export function setUpAskChannel(
  ipc: Pick<IpcMain, 'handle' | 'on'>,
  handlers: Handlers,
  chosen: ChosenFiles,
): void {
  const running = new Map<string, AbortController>();

  ipc.handle(ASK_CHANNEL, async (event, message: unknown): Promise<Answer> => {
    if (!isOwnSender(event)) return foreignSender;
    const dropped = DroppedMessage.safeParse(message);
    if (dropped.success) return resultOk(chosen.add(dropped.data.dropped, 'file', clientOf(event)));
    const ask = AskMessage.safeParse(message);
    if (!ask.success) return malformed;
    const { verb, request, ticket } = ask.data;
    const key = `${clientOf(event)}/${ticket}`;
    const abort = new AbortController();
    running.set(key, abort);
    try {
      return await contractAnswer(handlers, verb, request, {
        clientId: clientOf(event),
        signal: abort.signal,
        report: (progress) => {
          if (!event.sender.isDestroyed()) event.sender.send(PROGRESS_CHANNEL, ticket, progress);
        },
      });
    } finally {
      running.delete(key);
    }
  });

  ipc.on(CANCEL_CHANNEL, (event, ticket: unknown) => {
    if (isOwnSender(event)) running.get(`${clientOf(event)}/${String(ticket)}`)?.abort();
  });
}

/** Only the top frame of one of our own screens is heard. */
function isOwnSender(event: IpcMainEvent | IpcMainInvokeEvent): boolean {
  const frame = event.senderFrame;
  return frame !== null && frame.parent === null && isOwnScreen(frame.url);
}

const clientOf = (event: IpcMainEvent | IpcMainInvokeEvent): string => `window-${event.sender.id}`;

const foreignSender: Answer = resultProblem({
  code: 'bad-request',
  message: 'The question came from a page that is not a screen of this program.',
  remedy: 'Close the window and start Panelwright again.',
});

const malformed: Answer = resultProblem({
  code: 'bad-request',
  message: 'The message from the window is not valid.',
  remedy: 'Reload the window; if it happens again, report it.',
});
