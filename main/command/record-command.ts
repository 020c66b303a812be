import { hasSeveralFilms, jobFilms } from '../../core/job/job-films.ts';
import { jobFromJson } from '../../core/job/job-json.ts';
import { jobUnits, unitKey } from '../../core/job/vehicles.ts';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import type { ProductionRecord, RecordPart } from '../../core/output/production-record.ts';
import { RECORD_FIELDS } from '../../core/output/record-fields.ts';
import { type RecordOf, recordPart, recordWithPart } from '../../core/output/record-parts.ts';
import type { ArchivedOutput } from '../archive/port.ts';
import { keepRecord } from '../services/keep-record.ts';
import { saveTicketAgain } from '../services/save-ticket-again.ts';
import type { CommandContext, CommandOutcome } from './command-context.ts';
import { printable, tableLines } from './terminal.ts';

interface RecordOptions extends Omit<ProductionRecord, 'parts'> {
  /** Letter of the film that it is about; without it, the first. */
  readonly film?: string;
  /** Unit number of the vehicle that it is about. */
  readonly vehicle?: string;
  /** Folder for the ticket with what was entered. */
  readonly ticket?: string;
  readonly password?: string;
}

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
          : await saveTicketAgain(parts, { outputId: output.value.id, to: ticket }, () => password, tools);
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
