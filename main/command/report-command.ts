import { type Result, resultOk } from '../../core/measure/result.ts';
import { type JobFileOptions, openJobWithArtwork } from '../services/open-job-file.ts';
import { writeReport } from '../services/write-report.ts';
import type { CommandContext, CommandOutcome } from './command-context.ts';

export const reportCommand =
  (path: string, options: JobFileOptions & { readonly to: string }) =>
  async ({ terminal, tools, withArchive }: CommandContext): Promise<Result<CommandOutcome>> =>
    await withArchive(async (parts) => {
      const opened = await openJobWithArtwork(parts, path, options, tools);
      if (!opened.ok) return opened;
      const { job, artwork } = opened.value;
      const report = await writeReport(parts, job, artwork, options.to, tools);
      if (!report.ok) return report;
      const { pageCount, findings, remarks } = report.value;
      terminal.printResult({ file: options.to, pages: pageCount, findings, remarks }, [
        ...remarks,
        `Written: ${options.to}, ${pageCount} ${pageCount === 1 ? 'page' : 'pages'}, ${findings.length} findings.`,
      ]);
      return resultOk('done');
    });
