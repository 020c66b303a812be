/** The process in which a hostile file is opened; `cells.ts` holds the other end. */
import { type Outcome, outcomeOf } from './outcome.ts';

export type CellReply<O = Outcome> = { readonly outcome: O } | { readonly bug: string };

process.on('message', async (bytes: Uint8Array) => {
  let reply: CellReply;
  try {
    reply = { outcome: await outcomeOf(bytes) };
  } catch (error) {
    reply = { bug: error instanceof Error ? (error.stack ?? error.message) : String(error) };
  }
  process.send!(reply);
});
process.send!('ready');
