/** The vehicles that a job file is for: listed, or taken from a table. */
import { unitsSet } from '../../core/job/edits/edits.ts';
import type { Job, Vehicle } from '../../core/job/schema.ts';
import { unitsFromText } from '../../core/job/units-from-text.ts';
import { vehicleName } from '../../core/job/vehicles.ts';
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
}

export const unitsCommand =
  (path: string, { list, type }: UnitsOptions) =>
  async ({ terminal }: CommandContext): Promise<Result<CommandOutcome>> => {
    const read = await readJobFile(path);
    if (!read.ok) return read;
    const vehicle = vehicleOfType(read.value, type);
    if (!vehicle.ok) return vehicle;
    const changed = list === undefined ? read : await withUnits(read.value, vehicle.value, list);
    if (!changed.ok) return changed;
    if (changed.value !== read.value) {
      const written = await writeJobFile(path, changed.value);
      if (!written.ok) return written;
    }
    const { units } = foundIn(changed.value.vehicles, ({ id }) => id === vehicle.value.id);
    terminal.printResult({ vehicle: vehicle.value.id, units }, [
      units.length === 1 ? 'The job has 1 vehicle:' : `The job has ${units.length} vehicles that are alike:`,
      ...tableLines(
        units.map(({ unitNumber, licensePlate }) => [printable(unitNumber), printable(licensePlate)]),
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
