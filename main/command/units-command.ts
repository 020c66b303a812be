/** The vehicles that a job file is for: listed, or taken from a table. */
import { unitNoted, unitsSet } from '../../core/job/edits/edits.ts';
import type { Job, Vehicle } from '../../core/job/schema.ts';
import { unitsFromText } from '../../core/job/units-from-text.ts';
import { jobUnits, unitKey, vehicleName } from '../../core/job/vehicles.ts';
import { jobLayout } from '../../core/layout/side-layout.ts';
import { arrivedText, unitArrivals } from '../../core/layout/unit-arrivals.ts';
import { listText } from '../../core/measure/list-text.ts';
import { foundIn } from '../../core/measure/present.ts';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { readJobFile, writeJobFile } from '../job/job-file.ts';
import type { CommandContext, CommandOutcome } from './command-context.ts';
import { printable, tableLines } from './terminal.ts';
import { readTable } from './vehicle-command.ts';

interface UnitsOptions {
  /** A table with unit number and license plate. */
  readonly list?: string;
  /** Code of the type of vehicle. */
  readonly type?: string;
  /** Unit number of the one that something is noted of. */
  readonly vehicle?: string;
  readonly arrived?: number;
  readonly note?: string;
}

export const unitsCommand =
  (path: string, { list, type, ...noted }: UnitsOptions) =>
  async ({ terminal }: CommandContext): Promise<Result<CommandOutcome>> => {
    const read = await readJobFile(path);
    if (!read.ok) return read;
    const vehicle = vehicleOfType(read.value, type ?? codeOfUnit(read.value, noted.vehicle));
    if (!vehicle.ok) return vehicle;
    const listed = list === undefined ? read : await withUnits(read.value, vehicle.value, list);
    if (!listed.ok) return listed;
    const changed = withNoted(listed.value, noted);
    if (!changed.ok) return changed;
    if (changed.value !== read.value) {
      const written = await writeJobFile(path, changed.value);
      if (!written.ok) return written;
    }
    const { units } = foundIn(changed.value.vehicles, ({ id }) => id === vehicle.value.id);
    const arrivals = unitArrivals(changed.value, jobLayout(changed.value));
    const arrivedOf = (number: string) => {
      const found = arrivals.find(({ unitNumber }) => unitNumber === number);
      const text = found && arrivedText(found);
      return text === undefined ? '' : `${text} panels arrived`;
    };
    terminal.printResult({ vehicle: vehicle.value.id, units }, [
      units.length === 1 ? 'The job has 1 vehicle:' : `The job has ${units.length} vehicles that are alike:`,
      ...tableLines(
        units.map(({ unitNumber, licensePlate, installNote = '' }) => [
          ...[unitNumber, licensePlate, arrivedOf(unitNumber), installNote].map(printable),
        ]),
      ),
    ]);
    return resultOk('done');
  };

function vehicleOfType({ vehicles }: Job, type: string | undefined): Result<Vehicle> {
  const found = type === undefined ? vehicles : vehicles.filter(({ code }) => code === type);
  const [vehicle, ...others] = found;
  if (vehicle && others.length === 0) return resultOk(vehicle);
  const names = vehicles.map((each) => `${each.code} (${printable(vehicleName(each))})`);
  return resultProblem({
    code: 'vehicle-type-unknown',
    message: vehicle
      ? `The job has ${found.length} types of vehicle.`
      : `The job has no type of vehicle ${printable(type ?? '')}.`,
    remedy:
      vehicles.length === 1
        ? 'Leave out --type: the job has one type of vehicle.'
        : `Name one with --type: ${listText(names)}.`,
  });
}

const codeOfUnit = (job: Job, unitNumber: string | undefined): string | undefined =>
  unitNumber === undefined
    ? undefined
    : jobUnits(job).find((unit) => unitKey(unit.unitNumber) === unitKey(unitNumber))?.vehicle.code;

function withNoted(job: Job, { vehicle, arrived, note }: UnitsOptions): Result<Job> {
  if (arrived === undefined && note === undefined) return resultOk(job);
  const units = jobUnits(job);
  if (units.length === 1) {
    return resultProblem({
      code: 'units-one',
      message: 'The job has one vehicle: notes and counts by vehicle are for several.',
      remedy: 'Keep what there is to say as a note on the job, or list its vehicles with --list first.',
    });
  }
  if (vehicle === undefined) {
    return resultProblem({
      code: 'unit-not-named',
      message: 'It is not said which vehicle the note or the count is for.',
      remedy: `Name it with --vehicle: ${listText(units.map(({ unitNumber }) => printable(unitNumber)))}.`,
    });
  }
  const change = {
    ...(note !== undefined && { installNote: note }),
    ...(arrived !== undefined && { panelsArrived: arrived }),
  };
  return unitNoted(job, { unitNumber: vehicle, change });
}

async function withUnits(job: Job, { id }: Vehicle, path: string): Promise<Result<Job>> {
  const text = await readTable(path);
  if (!text.ok) return text;
  const { units, problems } = unitsFromText(text.value);
  if (problems.length > 0) {
    return resultProblem({
      code: 'units-unreadable',
      message: `${printable(path)}: ${problems.join(' ')}`,
      remedy: 'Mend these lines and read the table again; the job is as it was.',
    });
  }
  return unitsSet(job, { vehicleId: id, units });
}
