import { type Result, resultOk } from '../../core/measure/result.ts';
import type { ProductionRecord } from '../../core/output/production-record.ts';
import { RECORD_FIELDS, recordTidied } from '../../core/output/record-fields.ts';
import type { SheetKind } from '../../core/output/sheet-kind.ts';
import type { CommandContext, CommandOutcome } from './command-context.ts';
import { printable, tableLines, verificationLines } from './terminal.ts';

/** Lists need neither, and are there at once. */
const reprinting = () => import('../services/reprint-panels.ts');
const verifying = () => import('../services/verify-output.ts');

interface ListOptions {
  readonly search?: string;
  readonly from?: string;
  readonly until?: string;
  readonly limit: number;
}

export const listCommand =
  (options: ListOptions) =>
  async ({ terminal, withArchive }: CommandContext): Promise<Result<CommandOutcome>> =>
    await withArchive(async ({ archive }) => {
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
        `${job.outputCount} ${job.outputCount === 1 ? 'output' : 'outputs'}`,
      ]);
      terminal.printResult(jobs, rows.length > 0 ? tableLines(rows) : ['No job found.']);
      return resultOk('done');
    });

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
        `Output ${output.id}`,
        output.at.slice(0, 16).replace('T', ' '),
        output.kind === 'reprint' ? `reprint of Output ${output.reprintOf}` : '',
        output.files.flatMap(({ panelLabel }) => panelLabel ?? []).join(' '),
        VERIFICATION_WORDS[output.verification.state],
        output.reason,
      ]);
      terminal.printResult(
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
  readonly colorStrip?: boolean;
  readonly password?: string;
}

export const reprintCommand =
  (outputId: number, { to, ...options }: ReprintOptions) =>
  async ({ terminal, tools, withArchive }: CommandContext): Promise<Result<CommandOutcome>> =>
    await withArchive(async (parts) => {
      const { reprintPanels } = await reprinting();
      const { panels: panelLabels, reason, sheets, colorStrip: hasColorStrip, password } = options;
      const order = { outputId, panelLabels, reason, to, sheets, hasColorStrip };
      const reprint = await reprintPanels(parts, order, () => password, tools);
      if (!reprint.ok) return reprint;
      const { folder, kept, differences, remarks, verification } = reprint.value;
      const written = `${panelLabels.join(', ')} written to ${folder} as Output ${kept.id}`;
      terminal.printResult(
        { folder, output: kept.id, files: kept.files, differences, remarks, verification },
        [
          ...differences,
          ...remarks,
          differences.length === 0 ? `${written}, byte-identical to Output ${outputId}.` : `${written}.`,
          ...verificationLines(verification),
        ],
      );
      return resultOk(verification.state === 'failed' ? 'blocked' : 'done');
    });

interface RecordOptions extends ProductionRecord {
  /** Folder for the ticket with what was entered. */
  readonly ticket?: string;
  readonly password?: string;
}

const savingTicket = () => import('../services/save-ticket-again.ts');

/** Keeps what an output was really made with; fields that are not named stay as they were. */
export const recordCommand =
  (outputId: number, { ticket, password, ...fields }: RecordOptions) =>
  async ({ terminal, tools, withArchive }: CommandContext): Promise<Result<CommandOutcome>> =>
    await withArchive(async (parts) => {
      const { outputs } = parts.archive;
      const output = await outputs.find(outputId);
      if (!output.ok) return output;
      const record = recordTidied({ ...output.value.record, ...fields });
      const kept = await outputs.keepRecord(outputId, record);
      if (!kept.ok) return kept;
      const rows = RECORD_FIELDS.flatMap(([field, name]) =>
        record[field] === undefined ? [] : [[name, printable(record[field])]],
      );
      const saved =
        ticket === undefined
          ? undefined
          : await (await savingTicket()).saveTicketAgain(
              parts,
              { outputId, to: ticket },
              () => password,
              tools,
            );
      if (saved && !saved.ok) return saved;
      terminal.printResult({ output: outputId, record, ...(saved && { ticket: saved.value.path }) }, [
        rows.length > 0 ? `Output ${outputId} was made with:` : `Nothing is entered of Output ${outputId}.`,
        ...tableLines(rows),
        ...(saved ? [...saved.value.remarks, `Written: ${printable(saved.value.path)}`] : []),
      ]);
      return resultOk('done');
    });

/** Verifies the files of a past output where they lie, as often as anybody doubts them. */
export const verifyCommand =
  (outputId: number, { password }: { readonly password?: string }) =>
  async ({ terminal, tools, withArchive }: CommandContext): Promise<Result<CommandOutcome>> =>
    await withArchive(async (parts) => {
      const { verifyOutput } = await verifying();
      const verified = await verifyOutput(parts, outputId, () => password, tools);
      if (!verified.ok) return verified;
      const { verification, remarks } = verified.value;
      const { outputs } = parts.archive;
      const output = await outputs.find(outputId);
      if (!output.ok) return output;
      const report = await outputs.verificationReport(outputId);
      terminal.printResult({ output: outputId, verification, remarks, report }, [
        `Output ${outputId} in ${printable(output.value.folder)}:`,
        ...verificationLines(verification),
        ...remarks.map(printable),
      ]);
      return resultOk(verification.state === 'failed' ? 'blocked' : 'done');
    });
