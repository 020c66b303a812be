import { type Result, resultOk } from '../../core/measure/result.ts';
import { readJobFile } from '../job/job-file.ts';
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
