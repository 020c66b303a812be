import type { OutputSummary } from '../../core/contract/output-summary.ts';
import { type Result, resultOk } from '../../core/measure/result.ts';
import { reprintWords } from '../../core/output/reprint-words.ts';
import type { SheetKind } from '../../core/output/sheet-kind.ts';
import type { Archive } from '../archive/port.ts';
import { pastTime } from '../files/clock-text.ts';
import type { CommandContext, CommandOutcome } from './command-context.ts';
import { printable, tableLines, verificationLines } from './terminal.ts';

/** Lists need neither, and are there at once. */
const reprinting = () => import('../services/reprint-panels.ts');
const verifying = () => import('../services/verify-output.ts');

const VERIFICATION_WORDS = {
  'not-verified': 'not verified',
  verified: 'verified',
  failed: 'NOT RELEASED',
} as const;

export const historyCommand =
  (idOrNumber: string) =>
  async ({ terminal, withArchive }: CommandContext): Promise<Result<CommandOutcome>> =>
    await withArchive(async ({ archive }) => {
      const job = await archive.jobs.find(idOrNumber);
      if (!job.ok) return job;
      const outputs = await archive.outputs.list(job.value.id);
      const rows = outputs.map((output) => [
        `Output ${output.number}`,
        pastTime(output.at),
        printable(reprintWords(output)),
        output.files.flatMap(({ panelLabel }) => panelLabel ?? []).join(' '),
        VERIFICATION_WORDS[output.verification.state],
        output.reason,
      ]);
      const standing = await standingLines(archive, job.value.id, outputs);
      terminal.printResult(
        outputs.map(({ document: _, ...output }) => output),
        rows.length > 0
          ? [...tableLines(rows), ...standing]
          : [`Job ${printable(job.value.number)} has never been written.`],
      );
      return resultOk('done');
    });

/** Of each output: which of its panels are still good. */
async function standingLines(
  archive: Archive,
  jobId: string,
  outputs: readonly OutputSummary[],
): Promise<string[]> {
  if (outputs.length === 0) return [];
  const { outputsInUse, jobLayout, panelsStanding, storedJob } = await standings();
  const stored = await storedJob(archive, jobId);
  if (!stored.ok) return [];
  const { job } = stored.value;
  const now = { job, panels: jobLayout(job).flatMap(({ panels }) => panels) };
  const cut = await outputsInUse(archive, jobId);
  return outputs.flatMap((output) =>
    panelsStanding(now, output, cut).map((line) => printable(`Output ${output.number}, ${line}`)),
  );
}

const standings = async () => ({
  ...(await import('../services/outputs-in-use.ts')),
  ...(await import('../services/stored-job.ts')),
  ...(await import('../../core/output/panels-standing.ts')),
  ...(await import('../../core/layout/side-layout.ts')),
});

interface ReprintOptions {
  readonly panels: readonly string[];
  readonly vehicle?: string;
  readonly reason: string;
  readonly to: string;
  readonly sheets: readonly SheetKind[];
  readonly colorStrip?: boolean;
  readonly password?: string;
}

export const reprintCommand =
  (job: string, number: number, { to, ...options }: ReprintOptions) =>
  async ({ terminal, tools, withArchive }: CommandContext): Promise<Result<CommandOutcome>> =>
    await withArchive(async (parts) => {
      const first = await parts.archive.outputs.findNumbered(job, number);
      if (!first.ok) return first;
      const { reprintPanels } = await reprinting();
      const {
        panels: panelLabels,
        vehicle: unitNumber,
        reason,
        sheets,
        colorStrip: hasColorStrip,
        password,
      } = options;
      const order = { outputId: first.value.id, panelLabels, unitNumber, reason, to, sheets, hasColorStrip };
      const reprint = await reprintPanels(parts, order, () => password, tools);
      if (!reprint.ok) return reprint;
      const { folder, kept, differences, remarks, verification } = reprint.value;
      const forWhom = kept.unitNumber === undefined ? '' : ` for ${printable(kept.unitNumber)}`;
      const written = `${panelLabels.join(', ')}${forWhom} written to ${folder} as Output ${kept.number}`;
      terminal.printResult(
        { folder, output: kept.number, files: kept.files, differences, remarks, verification },
        [
          ...differences,
          ...remarks,
          differences.length === 0 ? `${written}, byte-identical to Output ${number}.` : `${written}.`,
          ...verificationLines(verification),
        ],
      );
      return resultOk(verification.state === 'failed' ? 'blocked' : 'done');
    });

/** Verifies the files of a past output where they lie, as often as anybody doubts them. */
export const verifyCommand =
  (job: string, number: number, { password }: { readonly password?: string }) =>
  async ({ terminal, tools, withArchive }: CommandContext): Promise<Result<CommandOutcome>> =>
    await withArchive(async (parts) => {
      const { outputs } = parts.archive;
      const output = await outputs.findNumbered(job, number);
      if (!output.ok) return output;
      const { id } = output.value;
      const { verifyOutput } = await verifying();
      const verified = await verifyOutput(parts, id, () => password, tools);
      if (!verified.ok) return verified;
      const { verification, remarks } = verified.value;
      const report = await outputs.verificationReport(id);
      terminal.printResult({ output: number, verification, remarks, report }, [
        `Output ${number} in ${printable(output.value.folder)}:`,
        ...verificationLines(verification),
        ...remarks.map(printable),
      ]);
      return resultOk(verification.state === 'failed' ? 'blocked' : 'done');
    });
