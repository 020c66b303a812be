import { resolve } from 'node:path';
import { shopDefaults } from '../../core/job/shop-defaults.ts';
import { type Result, resultOk } from '../../core/measure/result.ts';
import { artworkTaker } from '../services/take-artwork.ts';
import { correctedTaker } from '../services/take-corrected.ts';
import { watchFolder } from '../services/watch-folder.ts';
import type { CommandContext, CommandOutcome } from './command-context.ts';
import { printable } from './terminal.ts';

export const watchCommand =
  (folder: string, { to }: { readonly to?: string }) =>
  async ({ terminal, tools, locale, withArchive }: CommandContext): Promise<Result<CommandOutcome>> =>
    await withArchive(async (parts) => {
      const tell = (sentence: string) => terminal.printResult({ sentence }, [printable(sentence)]);
      tell(`Watching ${resolve(folder)}; Ctrl-C ends it.`);
      const order = { folder: resolve(folder), ...(to !== undefined && { to: resolve(to) }), tell };
      const watched = await watchFolder(
        parts,
        { ...order, takers: [correctedTaker, artworkTaker(shopDefaults(locale))] },
        tools,
      );
      // A cancel is its usual end.
      return watched.ok || tools.signal.aborted ? resultOk('done') : watched;
    });
