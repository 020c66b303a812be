import type { OutputSummary } from '../../core/contract/output-summary.ts';
import { hasSeveralFilms, jobFilms } from '../../core/job/job-films.ts';
import { jobFromJson } from '../../core/job/job-json.ts';
import { jobUnits, unitKey } from '../../core/job/vehicles.ts';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import type { ProductionRecord, RecordPart } from '../../core/output/production-record.ts';
import { RECORD_FIELDS } from '../../core/output/record-fields.ts';
import { type RecordOf, recordPart, recordWithPart } from '../../core/output/record-parts.ts';
import { reprintWords } from '../../core/output/reprint-words.ts';
import type { SheetKind } from '../../core/output/sheet-kind.ts';
import type { Archive, ArchivedOutput } from '../archive/port.ts';
import { pastTime } from '../files/clock-text.ts';
import { keepRecord } from '../services/keep-record.ts';
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

interface RecordOptions extends Omit<ProductionRecord, 'parts'> {
  /** Letter of the film that it is about; without it, the first. */
  readonly film?: string;
  /** Unit number of the vehicle that it is about. */
  readonly vehicle?: string;
  /** Folder for the ticket with what was entered. */
  readonly ticket?: string;
  readonly password?: string;
}

const savingTicket = () => import('../services/save-ticket-again.ts');

/** Keeps what an output was really made with; fields that are not named stay as they were. */
export const recordCommand =
  (job: string, number: number, { ticket, password, film, vehicle, ...fields }: RecordOptions) =>
  async ({ terminal, tools, withArchive }: CommandContext): Promise<Result<CommandOutcome>> =>
    await withArchive(async (parts) => {
      const { outputs } = parts.archive;
      const output = await outputs.findNumbered(job, number);
      if (!output.ok) return output;
      const before = output.value.record ?? {};
      const of = namedPart(output.value, film, vehicle);
      if (!of.ok) return of;
      const changed = of.value
        ? recordWithPart(before, of.value, { ...recordPart(before, of.value), ...fields })
        : { ...before, ...fields };
      const kept = await keepRecord(parts.archive, output.value, changed);
      if (!kept.ok) return kept;
      const { record = {} } = kept.value;
      const rowsOf = (entered: Omit<ProductionRecord, 'parts'>, ...whose: string[]) =>
        RECORD_FIELDS.flatMap(([field, name]) => {
          const text = entered[field];
          return text === undefined ? [] : [[...whose, name, printable(text)]];
        });
      const ofParts = (record.parts ?? []).flatMap((part) =>
        rowsOf(part, printable(partName(output.value, part))),
      );
      const rows = ofParts.length === 0 ? rowsOf(record) : [...rowsOf(record, ''), ...ofParts];
      const saved =
        ticket === undefined
          ? undefined
          : await (await savingTicket()).saveTicketAgain(
              parts,
              { outputId: output.value.id, to: ticket },
              () => password,
              tools,
            );
      if (saved && !saved.ok) return saved;
      terminal.printResult({ output: number, record, ...(saved && { ticket: saved.value.path }) }, [
        rows.length > 0 ? `Output ${number} was made with:` : `Nothing is entered of Output ${number}.`,
        ...tableLines(rows),
        ...(saved ? [...saved.value.remarks, `Written: ${printable(saved.value.path)}`] : []),
      ]);
      return resultOk('done');
    });

/** The part of a record that options name; undefined where they name none. */
function namedPart(
  { document, number }: ArchivedOutput,
  film: string | undefined,
  vehicle: string | undefined,
): Result<RecordOf | undefined> {
  if (film === undefined && vehicle === undefined) return resultOk(undefined);
  const job = jobFromJson(document);
  if (!job.ok) return job;
  const films = jobFilms(job.value);
  const found = films.find(({ letter }) => letter === film?.toUpperCase());
  if (film !== undefined && !found) {
    return resultProblem({
      code: 'film-unknown',
      message: `Output ${number} has no film ${printable(film)}.`,
      remedy: `Select from: ${films.map(({ letter }) => letter).join(', ')}.`,
    });
  }
  const units = jobUnits(job.value).map(({ unitNumber }) => unitNumber);
  const unitNumber = units.find((unit) => vehicle !== undefined && unitKey(unit) === unitKey(vehicle));
  if (vehicle !== undefined && unitNumber === undefined) {
    return resultProblem({
      code: 'unit-unknown',
      message: `Output ${number} is for no vehicle ${printable(vehicle)}.`,
      remedy: `Select from: ${units.map(printable).join(', ')}.`,
    });
  }
  return resultOk({ filmId: hasSeveralFilms(job.value) ? found?.id : undefined, unitNumber });
}

/** `Film B, BM-08`. */
function partName({ document }: ArchivedOutput, { filmId, unitNumber }: RecordPart): string {
  const job = jobFromJson(document);
  const film = job.ok ? jobFilms(job.value).find(({ id }) => id === filmId) : undefined;
  return [film && `Film ${film.letter}`, unitNumber].filter(Boolean).join(', ');
}

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
