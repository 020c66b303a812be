import { expect, it } from 'vitest';
import { unitNoted, unitsSet } from '../../../../core/job/edits/edits.ts';
import type { VehicleUnit } from '../../../../core/job/schema.ts';
import { smallJob } from '../../../support/small-job.ts';

const units: VehicleUnit[] = [
  { unitNumber: 'BM-07', licensePlate: 'ACL 4471' },
  { unitNumber: 'BM-08', licensePlate: 'ACL 4472' },
];
const fleet = smallJob({ vehicles: [{ id: 'v1', kind: 'van', units }] });
const change = { installNote: ' Dent at the rear door ', panelsArrived: 0 };

it('FLT6 notes a vehicle by its unit number, and removes what is emptied', () => {
  const noted = unitNoted(fleet, { unitNumber: 'bm-08', change });
  if (!noted.ok) throw new Error(noted.problem.message);
  expect(noted.value.vehicles[0]!.units).toEqual([
    units[0],
    { ...units[1], installNote: 'Dent at the rear door', panelsArrived: 0 },
  ]);
  const emptied = { installNote: '', panelsArrived: undefined };
  const cleared = unitNoted(noted.value, { unitNumber: 'BM-08', change: emptied });
  expect(cleared.ok && cleared.value.vehicles[0]!.units).toEqual(units);
  expect(unitNoted(fleet, { unitNumber: 'BM-99', change })).toMatchObject({
    problem: { message: 'The job has no vehicle “BM-99”.', remedy: 'Select from: BM-07, BM-08.' },
  });
});

it('FLT6 a list of units that is read again keeps what was noted of those on it', () => {
  const noted = unitNoted(fleet, { unitNumber: 'BM-08', change });
  if (!noted.ok) throw new Error(noted.problem.message);
  const again = unitsSet(noted.value, {
    vehicleId: 'v1',
    units: [
      { unitNumber: 'BM-09', licensePlate: '' },
      { unitNumber: 'bm-08', licensePlate: 'ACL 9' },
    ],
  });
  expect(again.ok && again.value.vehicles[0]!.units).toEqual([
    { unitNumber: 'BM-09', licensePlate: '' },
    {
      unitNumber: 'bm-08',
      licensePlate: 'ACL 9',
      installNote: 'Dent at the rear door',
      panelsArrived: 0,
    },
  ]);
});
