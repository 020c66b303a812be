import { type Result, resultOk } from '../../core/measure/result.ts';
import type { SheetKind } from '../../core/output/sheet-kind.ts';
import { panelsReprinted } from '../services/job-reprint.ts';
import { verifyArchivedOutput, verifyArchivedOutputAgain } from '../verify/verification-task.ts';
import type { CommandContext, CommandOutcome } from './command-context.ts';
import { printable, tableLines, verificationLines } from './terminal.ts';

interface ListOptions {
  readonly search?: string;
  readonly from?: string;
  readonly until?: string;
  readonly limit: number;
}

export const jobsList =
  (options: ListOptions) =>
  async ({ terminal, withArchive }: CommandContext): Promise<Result<CommandOutcome>> =>
    await withArchive(async (archive) => {
      const jobs = await archive.jobs.list({
        limit: options.limit,
        ...(options.search !== undefined && { text: options.search }),
        ...(options.from !== undefined && { changedFrom: options.from }),
        ...(options.until !== undefined && { changedTo: options.until }),
      });
      const rows = jobs.map((job) => [
        job.number,
        job.customer,
        job.unitNumber,
        job.name,
        job.updatedAt.slice(0, 10),
        `${job.outputCount} ${job.outputCount === 1 ? 'run' : 'runs'}`,
      ]);
      terminal.result(jobs, rows.length > 0 ? tableLines(rows) : ['No job found.']);
      return resultOk('done');
    });

const VERIFICATION_WORDS = {
  'not-verified': 'not verified',
  verified: 'verified',
  failed: 'NOT RELEASED',
} as const;

export const jobHistory =
  (idOrNumber: string) =>
  async ({ terminal, withArchive }: CommandContext): Promise<Result<CommandOutcome>> =>
    await withArchive(async (archive) => {
      const job = await archive.jobs.find(idOrNumber);
      if (!job.ok) return job;
      const outputs = await archive.outputs.list(job.value.id);
      const rows = outputs.map((output) => [
        `run ${output.id}`,
        output.at.slice(0, 16).replace('T', ' '),
        output.kind === 'reprint' ? `reprint of run ${output.reprintOf}` : 'output',
        output.files.flatMap(({ panelLabel }) => panelLabel ?? []).join(' '),
        VERIFICATION_WORDS[output.verification.state],
        output.reason,
      ]);
      terminal.result(
        outputs.map(({ document: _, ...output }) => output),
        rows.length > 0 ? tableLines(rows) : [`Job ${printable(job.value.number)} has never been written.`],
      );
      return resultOk('done');
    });

interface ReprintOptions {
  readonly panels: readonly string[];
  readonly reason: string;
  readonly to: string;
  readonly sheets: readonly SheetKind[];
  readonly password?: string;
}

export const panelsReprint =
  (outputId: number, options: ReprintOptions) =>
  async ({ terminal, signal, withArchive, now }: CommandContext): Promise<Result<CommandOutcome>> =>
    await withArchive(async (archive) => {
      const reprint = await panelsReprinted(
        archive,
        {
          outputId,
          panelLabels: options.panels,
          reason: options.reason,
          folder: options.to,
          sheets: options.sheets,
          now: now(),
          ...(options.password !== undefined && { password: options.password }),
        },
        { signal, report: (progress) => terminal.progress(progress) },
      );
      if (!reprint.ok) return reprint;
      const { output, differences, remarks } = reprint.value;
      const verification = await verifyArchivedOutput(archive, output, options.password, {
        signal,
        report: (progress) => terminal.progress(progress),
      });
      terminal.result({ output: output.id, files: output.files, differences, remarks, verification }, [
        ...differences,
        ...remarks,
        differences.length === 0
          ? `${options.panels.join(', ')} written to ${options.to} as run ${output.id}, byte-identical to run ${outputId}.`
          : `${options.panels.join(', ')} written to ${options.to} as run ${output.id}.`,
        ...verificationLines(verification),
      ]);
      return resultOk(verification.state === 'failed' ? 'blocked' : 'done');
    });

/** Verifies the files of a past output where they lie, as often as anybody doubts them. */
export const verifyPastOutput =
  (outputId: number, options: { readonly password?: string }) =>
  async ({ terminal, signal, withArchive }: CommandContext): Promise<Result<CommandOutcome>> =>
    await withArchive(async (archive) => {
      const output = await archive.outputs.find(outputId);
      if (!output.ok) return output;
      const verification = await verifyArchivedOutputAgain(archive, output.value, options.password, {
        signal,
        report: (progress) => terminal.progress(progress),
      });
      if (!verification.ok) return verification;
      const report = await archive.outputs.verificationReport(outputId);
      terminal.result({ output: outputId, verification: verification.value, report }, [
        `Run ${outputId} in ${printable(output.value.folder)}:`,
        ...verificationLines(verification.value),
      ]);
      return resultOk(verification.value.state === 'failed' ? 'blocked' : 'done');
    });
