import { type Result, resultOk } from '../../core/measure/result.ts';
import type { SheetKind } from '../../core/output/sheet-kind.ts';
import { panelsReprinted } from '../services/job-reprint.ts';
import { archivedRunProved, archivedRunProvedAgain } from '../verify/proof-task.ts';
import type { CommandContext, CommandOutcome } from './command-context.ts';
import { printable, proofLines, tableLines } from './terminal.ts';

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
      const jobs = archive.listJobs({
        limit: options.limit,
        ...(options.search !== undefined && { text: options.search }),
        ...(options.from !== undefined && { changedFrom: options.from }),
        ...(options.until !== undefined && { changedTo: options.until }),
      });
      const rows = jobs.map((job) => [
        job.number,
        job.customer,
        job.unitName,
        job.name,
        job.updatedAt.slice(0, 10),
        `${job.runCount} ${job.runCount === 1 ? 'run' : 'runs'}`,
      ]);
      terminal.result(jobs, rows.length > 0 ? tableLines(rows) : ['No job found.']);
      return resultOk('done');
    });

const PROOF_WORDS = { 'not-proved': 'not proved', proved: 'proved', failed: 'NOT RELEASED' } as const;

export const jobHistory =
  (idOrNumber: string) =>
  async ({ terminal, withArchive }: CommandContext): Promise<Result<CommandOutcome>> =>
    await withArchive(async (archive) => {
      const job = archive.job(idOrNumber);
      if (!job.ok) return job;
      const runs = archive.runs(job.value.id);
      const rows = runs.map((run) => [
        `run ${run.id}`,
        run.at.slice(0, 16).replace('T', ' '),
        run.kind === 'reprint' ? `reprint of run ${run.reprintOf}` : 'output',
        run.files.flatMap(({ panelLabel }) => panelLabel ?? []).join(' '),
        PROOF_WORDS[run.proof.state],
        run.reason,
      ]);
      terminal.result(
        runs.map(({ document: _, ...run }) => run),
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
  (runId: number, options: ReprintOptions) =>
  async ({ terminal, signal, withArchive, now }: CommandContext): Promise<Result<CommandOutcome>> =>
    await withArchive(async (archive) => {
      const reprint = await panelsReprinted(
        archive,
        {
          runId,
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
      const { run, differences, remarks } = reprint.value;
      const proof = await archivedRunProved(archive, run, options.password, {
        signal,
        report: (progress) => terminal.progress(progress),
      });
      terminal.result({ run: run.id, files: run.files, differences, remarks, proof }, [
        ...differences,
        ...remarks,
        differences.length === 0
          ? `${options.panels.join(', ')} written to ${options.to} as run ${run.id}, byte-identical to run ${runId}.`
          : `${options.panels.join(', ')} written to ${options.to} as run ${run.id}.`,
        ...proofLines(proof),
      ]);
      return resultOk(proof.state === 'failed' ? 'blocked' : 'done');
    });

/** Proves the files of a past run where they lie, as often as anybody doubts them. */
export const runProve =
  (runId: number, options: { readonly password?: string }) =>
  async ({ terminal, signal, withArchive }: CommandContext): Promise<Result<CommandOutcome>> =>
    await withArchive(async (archive) => {
      const run = archive.run(runId);
      if (!run.ok) return run;
      const proof = await archivedRunProvedAgain(archive, run.value, options.password, {
        signal,
        report: (progress) => terminal.progress(progress),
      });
      if (!proof.ok) return proof;
      const report = archive.proofReport(runId);
      terminal.result({ run: runId, proof: proof.value, report }, [
        `Run ${runId} in ${printable(run.value.folder)}:`,
        ...proofLines(proof.value),
      ]);
      return resultOk(proof.value.state === 'failed' ? 'blocked' : 'done');
    });
