/** The vehicles of the job: types that differ in shape, and the units of each. */
import { useLayoutEffect, useRef, useState } from 'preact/hooks';
import type { EditResult } from '../../../core/job/edits/edits.ts';
import { unitsSet, vehicleAdd, vehicleRemove, vehicleSet } from '../../../core/job/edits/edits.ts';
import type { Job, Vehicle, VehicleUnit } from '../../../core/job/schema.ts';
import { textFromUnits, unitsFromText } from '../../../core/job/units-from-text.ts';
import { VEHICLE_KIND_CHOICES, vehicleName } from '../../../core/job/vehicles.ts';
import { Button } from '../../parts/button.tsx';
import { TextField } from '../../parts/field.tsx';
import { Section } from '../../parts/section.tsx';
import { SelectField } from '../../parts/select-field.tsx';
import { editJob } from '../../state/open-job.ts';
import { UnitNotes } from './unit-notes.tsx';

/** Makes an edit; returns the sentence why not. */
const edited = (label: string, edit: (now: Job) => EditResult): string | undefined =>
  editJob(label, edit, { isQuiet: true })?.message;

export function VehicleSections({ job }: { readonly job: Job }) {
  const isOne = job.vehicles.length === 1;
  return (
    <>
      {job.vehicles.map((vehicle) => (
        <VehicleSection key={vehicle.id} vehicle={vehicle} isOne={isOne} />
      ))}
      <UnitNotes job={job} />
      <Section title="More vehicles">
        <p class="quiet">Of another shape in the same order, such as a trailer: with sides of its own.</p>
        <Button
          onClick={() =>
            void edited('Add a type of vehicle', (now) =>
              vehicleAdd(now, { kind: 'trailer', unitNumber: newUnitNumber(now) }),
            )
          }
        >
          Add a type of vehicle
        </Button>
      </Section>
    </>
  );
}

function newUnitNumber({ vehicles }: Job): string {
  const taken = vehicles.flatMap(({ units }) => units.map(({ unitNumber }) => unitNumber));
  let number = taken.length + 1;
  while (taken.includes(`Vehicle ${number}`)) number += 1;
  return `Vehicle ${number}`;
}

function VehicleSection({ vehicle, isOne }: { readonly vehicle: Vehicle; readonly isOne: boolean }) {
  const [codeProblem, setCodeProblem] = useState<string>();
  const [removeProblem, setRemoveProblem] = useState<string>();
  const [isListed, setListed] = useState(false);
  const vehicleId = vehicle.id;
  const [only, ...others] = vehicle.units as [VehicleUnit, ...VehicleUnit[]];
  return (
    <Section title={isOne ? 'Vehicle' : `Vehicle ${vehicle.code}: ${vehicleName(vehicle)}`}>
      {!isOne && (
        <div class="pair">
          <TextField
            label="Code of the vehicle"
            value={vehicle.code ?? ''}
            problem={codeProblem}
            onChange={(text) => {
              const code = text.trim().toUpperCase();
              setCodeProblem(
                edited('Change the code of a vehicle', (now) =>
                  vehicleSet(now, { vehicleId, change: { code } }),
                ),
              );
            }}
          />
          <TextField
            label="Name of the type"
            value={vehicle.name ?? ''}
            onChange={(text) =>
              void edited('Name a type of vehicle', (now) =>
                vehicleSet(now, { vehicleId, change: { name: text.trim() || null } }),
              )
            }
          />
        </div>
      )}
      <SelectField
        label="Kind"
        value={vehicle.kind}
        options={VEHICLE_KIND_CHOICES}
        onChange={(kind) =>
          void edited('Change the kind of vehicle', (now) => vehicleSet(now, { vehicleId, change: { kind } }))
        }
      />
      {others.length === 0 && !isListed ? (
        <OnlyUnit vehicleId={vehicleId} unit={only} onList={() => setListed(true)} />
      ) : (
        <UnitList vehicle={vehicle} isNew={isListed} />
      )}
      {!isOne && (
        <Button
          onClick={() =>
            setRemoveProblem(edited('Remove a type of vehicle', (now) => vehicleRemove(now, { vehicleId })))
          }
        >
          Remove this type of vehicle
        </Button>
      )}
      {removeProblem !== undefined && (
        <p class="field-problem" role="alert">
          {removeProblem}
        </p>
      )}
    </Section>
  );
}

interface OnlyUnitProps {
  readonly vehicleId: string;
  readonly unit: VehicleUnit;
  onList(): void;
}

function OnlyUnit({ vehicleId, unit, onList }: OnlyUnitProps) {
  const [problem, setProblem] = useState<string>();
  const set = (label: string, change: Partial<VehicleUnit>) =>
    edited(label, (now) => unitsSet(now, { vehicleId, units: [{ ...unit, ...change }] }));
  return (
    <>
      <TextField
        label="Vehicle, trailer or body"
        value={unit.unitNumber}
        problem={problem}
        onChange={(unitNumber) =>
          setProblem(
            unitNumber.trim() === ''
              ? 'Vehicle, trailer or body must not be empty.'
              : set('Name the vehicle', { unitNumber }),
          )
        }
      />
      <TextField
        label="License plate"
        value={unit.licensePlate}
        onChange={(licensePlate) => void set('Change the license plate', { licensePlate })}
      />
      <Button onClick={onList}>List several vehicles that are alike</Button>
    </>
  );
}

const MOST_SHOWN = 5;

interface UnitListProps {
  readonly vehicle: Vehicle;
  /** Somebody has asked for it: what they type next goes there. */
  readonly isNew: boolean;
}

/** What was typed stays until all of it can be read. */
function UnitList({ vehicle, isNew }: UnitListProps) {
  const [problems, setProblems] = useState<readonly string[]>([]);
  const list = useRef<HTMLDivElement>(null);
  useLayoutEffect(() => {
    if (isNew) list.current?.querySelector('textarea')?.focus();
  }, []);
  const more = problems.length - MOST_SHOWN;
  const take = (text: string) => {
    const read = unitsFromText(text);
    const refused =
      read.problems.length > 0
        ? undefined
        : edited('List the units', (now) => unitsSet(now, { vehicleId: vehicle.id, units: read.units }));
    setProblems(refused === undefined ? read.problems : [refused]);
  };
  const count = vehicle.units.length;
  return (
    <div ref={list}>
      <TextField
        label="Units: unit number, license plate"
        value={textFromUnits(vehicle.units)}
        isMultiline
        hint={`One vehicle a line, ${count === 1 ? '1 vehicle' : `${count} vehicles`} so far. Lines can be pasted from a spreadsheet.`}
        problem={
          problems.length === 0
            ? undefined
            : [...problems.slice(0, MOST_SHOWN), ...(more > 0 ? [`${more} more.`] : [])].join(' ')
        }
        onChange={take}
      />
    </div>
  );
}
