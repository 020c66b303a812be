import { type Result, resultOk } from '../../core/measure/result.ts';
import { comparisonLines } from '../../core/output/comparison-text.ts';
import { compareArtworks } from '../services/compare-artworks.ts';
import { artworkAtFile, type JobFileOptions, openJobWithArtwork } from '../services/open-job-file.ts';
import type { CommandContext, CommandOutcome } from './command-context.ts';
import { printable } from './terminal.ts';

export const compareCommand =
  (path: string, options: JobFileOptions & { readonly with: string; readonly withPassword?: string }) =>
  async ({ terminal, tools, withArchive }: CommandContext): Promise<Result<CommandOutcome>> =>
    await withArchive(async (parts) => {
      const opened = await openJobWithArtwork(parts, path, options, tools);
      if (!opened.ok) return opened;
      const { job, artwork } = opened.value;
      const password = options.withPassword;
      const corrected = artworkAtFile(options.with, {
        box: artwork.box,
        ...(password !== undefined && { password }),
      });
      const compared = await compareArtworks(parts, { job, artwork, corrected }, tools);
      if (!compared.ok) return compared;
      terminal.printResult(compared.value, comparisonLines(compared.value, job.displayUnit).map(printable));
      return resultOk('done');
    });
