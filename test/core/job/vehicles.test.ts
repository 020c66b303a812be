import { describe, expect, it } from 'vitest';
import { jobEmpty } from '../../../core/job/defaults.ts';
import {
  sideAdd,
  sideSet,
  unitsSet,
  vehicleAdd,
  vehicleRemove,
  vehicleSet,
} from '../../../core/job/edits/edits.ts';
import { sideSuggested } from '../../../core/job/edits/side-suggested.ts';
import type { Job } from '../../../core/job/schema.ts';
import { textFromUnits, unitsFromText } from '../../../core/job/units-from-text.ts';
import { jobUnits, sideCalled, sideSaid, unitsText, vehicleText } from '../../../core/job/vehicles.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import type { Result } from '../../../core/measure/result.ts';

const alone: Job = jobEmpty({
  id: 'rig',
  number: 'ACL-0417',
  name: 'Bookmobile',
  customer: 'Alder County Library',
  date: '2026-11-16',
});
const good = (result: Result<Job>): Job => {
  if (!result.ok) throw new Error(result.problem.message);
  return result.value;
};
const problemOf = (result: Result<Job>): string => (result.ok ? 'no problem' : result.problem.message);
const rect = { x: 0, y: 0, width: 610, height: 230 };
const withSide = (job: Job, vehicle = job.vehicles[0]!): Job =>
  good(sideAdd(job, { side: sideSuggested(job, 1, rect, vehicle) }));
const withTrailer = (job: Job): Job => good(vehicleAdd(job, { kind: 'trailer', unitNumber: 'T-31' }));

describe('types of vehicle', () => {
  it('VEH1: the code of a type leads labels where a job has several, and nothing changes where it has one', () => {
    const one = withSide(alone);
    expect(jobLayout(one).flatMap(({ panels }) => panels.map(({ label }) => label))).toEqual(['LH-01']);
    expect(sideCalled(one, one.sides[0]!)).toBe(one.sides[0]);

    const two = withTrailer(one);
    expect(two.vehicles.map(({ code }) => code)).toEqual(['V', 'T']);
    const both = withSide(two, two.vehicles[1]);
    expect(both.sides.map(({ code }) => code)).toEqual(['LH', 'LH']);
    expect(jobLayout(both).flatMap(({ panels }) => panels.map(({ label }) => label))).toEqual([
      'V-LH-01',
      'T-LH-01',
    ]);
    expect(sideSaid(one, one.sides[0]!)).toBe('LH');
    expect(sideSaid(both, both.sides[1]!)).toBe('T-LH (Left side of T-31)');
  });

  it('refuses two types of one code, and a side code that its new vehicle has', () => {
    const two = withTrailer(withSide(alone));
    const [van, trailer] = two.vehicles as [Job['vehicles'][0], Job['vehicles'][0]];
    const renamed = vehicleSet(two, { vehicleId: trailer.id, change: { code: 'V' } });
    expect(problemOf(renamed)).toBe('Two types of vehicle have the code V (vehicles[1].code).');
    const both = withSide(two, trailer);
    const moved = sideSet(both, { sideId: both.sides[1]!.id, change: { vehicleId: van.id } });
    expect(problemOf(moved)).toContain('both have the code LH');
  });

  it('keeps a type that sides belong to, and the last one', () => {
    const two = withTrailer(withSide(alone));
    const [van, trailer] = two.vehicles.map(({ id }) => id) as [string, string];
    expect(problemOf(vehicleRemove(two, { vehicleId: van }))).toBe(
      'The side Left side belongs to this type of vehicle.',
    );
    const one = good(vehicleRemove(two, { vehicleId: trailer }));
    expect(one.vehicles.map(({ id }) => id)).toEqual([van]);
    expect(problemOf(vehicleRemove(alone, { vehicleId: 'v1' }))).toBe(
      'The job has no other type of vehicle.',
    );
    expect(problemOf(vehicleRemove(alone, { vehicleId: 'v9' }))).toContain('no type of vehicle “v9”');
  });
});

describe('units', () => {
  const read = unitsFromText('unit number\tplate\nBM-07\tACL 4471\n\nBM-08\n"Bus, long"\tACL 4473\n');

  it('reads what was pasted from a spreadsheet, and writes lines that read back the same', () => {
    expect(read.problems).toEqual([]);
    expect(read.units).toEqual([
      { unitNumber: 'BM-07', licensePlate: 'ACL 4471' },
      { unitNumber: 'BM-08', licensePlate: '' },
      { unitNumber: 'Bus, long', licensePlate: 'ACL 4473' },
    ]);
    expect(unitsFromText(textFromUnits(read.units)).units).toEqual(read.units);
  });

  it('says each bad line by its number and reads the others', () => {
    const bad = unitsFromText('12,AL 1\n,AL 2\n14,AL 3,red\n 12 ,AL 4\n"15\n16');
    expect(bad.units.map(({ unitNumber }) => unitNumber)).toEqual(['12', '16']);
    expect(bad.problems).toEqual([
      'Line 2: the unit number is missing. Write it first, then the license plate.',
      'Line 3: there is more than a unit number and a license plate (“red”). Put a text that has a comma in quotes.',
      'Line 4: the unit number 12 stands on line 1 already. Give each vehicle a unit number of its own.',
      'Line 5: a quote is opened and never closed. Close it on the same line.',
    ]);
    expect(unitsFromText(' \n').problems).toEqual(['The list has no vehicle.']);
  });

  it('VEH2: refuses a unit number that another type of vehicle has', () => {
    const two = withTrailer(alone);
    const units = [{ unitNumber: ' t-31', licensePlate: '' }];
    expect(problemOf(unitsSet(two, { vehicleId: 'v1', units }))).toBe(
      'The unit number “T-31” is there twice, at vehicles[0].units[0].unitNumber and at vehicles[1].units[0].unitNumber.',
    );
  });

  it('names a few units and counts many', () => {
    const fleet = good(unitsSet(alone, { vehicleId: 'v1', units: read.units }));
    expect(jobUnits(fleet).map(({ unitNumber, place }) => `${place} ${unitNumber}`)).toEqual([
      '1 BM-07',
      '2 BM-08',
      '3 Bus, long',
    ]);
    expect(vehicleText(fleet)).toBe('BM-07, BM-08 and Bus, long');
    expect(unitsText([...read.units, { unitNumber: '9', licensePlate: '' }])).toBe(
      '4 vehicles: BM-07, BM-08, Bus, long and 1 more',
    );
    const single = good(unitsSet(alone, { vehicleId: 'v1', units: read.units.slice(0, 1) }));
    expect(vehicleText(single)).toBe('BM-07 · ACL 4471');
  });
});
