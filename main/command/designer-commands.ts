import { type Result, resultOk } from '../../core/measure/result.ts';
import { readJobFile } from '../job/job-file.ts';
import { type JobFileOptions, openJobWithArtwork } from '../services/open-job-file.ts';
import { writeDesignerFindings } from '../services/write-designer-findings.ts';
import { writeGuide } from '../services/write-guide.ts';
import type { CommandContext, CommandOutcome } from './command-context.ts';

interface GuideOptions {
  readonly to: string;
  readonly scale?: number;
  readonly perSide: boolean;
  readonly svg: boolean;
}

export const guideCommand =
  (path: string, { to, scale, perSide, svg }: GuideOptions) =>
  async ({ terminal, tools, work }: CommandContext): Promise<Result<CommandOutcome>> => {
    const job = await readJobFile(path);
    if (!job.ok) return job;
    const order = {
      job: job.value,
      to,
      isFilePerSide: perSide,
      hasSvg: svg,
      ...(scale !== undefined && { scale }),
    };
    const written = await writeGuide({ work }, order, tools);
    if (!written.ok) return written;
    const { files, remarks } = written.value;
    terminal.printResult(written.value, [
      ...remarks,
      `The panel guide is drawn at 1:${written.value.scale}.`,
      ...files.map((file) => `Written: ${file}`),
    ]);
    return resultOk('done');
  };

export const designerFindingsCommand =
  (path: string, options: JobFileOptions & { readonly to: string }) =>
  async ({ terminal, tools, withArchive }: CommandContext): Promise<Result<CommandOutcome>> =>
    await withArchive(async (parts) => {
      const opened = await openJobWithArtwork(parts, path, options, tools);
      if (!opened.ok) return opened;
      const written = await writeDesignerFindings(parts, { ...opened.value, to: options.to }, tools);
      if (!written.ok) return written;
      const { files, count, remarks } = written.value;
      terminal.printResult(written.value, [
        ...remarks,
        count === 0
          ? 'There is nothing to ask of the designer.'
          : `${count} ${count === 1 ? 'finding' : 'findings'} for the designer.`,
        ...files.map((file) => `Written: ${file}`),
      ]);
      return resultOk('done');
    });
