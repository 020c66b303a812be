import { approvalSet } from '../../core/job/edits/edits.ts';
import { fingerprintText } from '../../core/job/fingerprint.ts';
import { present } from '../../core/measure/present.ts';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { readJobFile, writeJobFile } from '../job/job-file.ts';
import { type JobFileOptions, openJobWithArtwork } from '../services/open-job-file.ts';
import { saveJobFromFile } from '../services/save-job.ts';
import { writeDesignerFindings } from '../services/write-designer-findings.ts';
import { writeGuide } from '../services/write-guide.ts';
import type { CommandContext, CommandOutcome } from './command-context.ts';
import { printable } from './terminal.ts';

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

interface ApproveOptions {
  readonly by?: string;
  readonly on?: string;
  readonly note: string;
  readonly clear: boolean;
}

/** Enters who signed the customer proof, in the job file and in the archive. */
export const approveCommand =
  (path: string, { by, on, note, clear }: ApproveOptions) =>
  async ({ terminal, now, withArchive }: CommandContext): Promise<Result<CommandOutcome>> => {
    const read = await readJobFile(path);
    if (!read.ok) return read;
    const { artwork } = read.value;
    if (!clear && (by === undefined || by.trim() === '')) {
      return resultProblem({
        code: 'approval-by-whom',
        message: 'The signature has no name.',
        remedy: 'Say who signed with --by, or take the entry away with --clear.',
      });
    }
    if (!artwork) {
      return resultProblem({
        code: 'artwork-none',
        message: `Job ${read.value.number} has no artwork yet, so there is nothing to sign for.`,
        remedy: `Import it with: panelwright import ARTWORK.pdf --job ${path}`,
      });
    }
    const approval = clear
      ? null
      : {
          by: present(by, 'Who signed').trim(),
          on: on ?? now().slice(0, 10),
          artworkSha256: artwork.sha256,
          note: note.trim(),
        };
    const edited = approvalSet(read.value, { approval });
    if (!edited.ok) return edited;
    return await withArchive(async (parts) => {
      const saved = await saveJobFromFile(parts.archive, edited.value, now());
      if (!saved.ok) return saved;
      const written = await writeJobFile(path, edited.value);
      if (!written.ok) return written;
      terminal.printResult({ job: saved.value, approval }, [
        approval
          ? `${printable(approval.by)} signed on ${approval.on} for the artwork with fingerprint ${fingerprintText(artwork.sha256)}.`
          : 'The signature was taken out of the job.',
      ]);
      return resultOk('done');
    });
  };
