import { expect, it } from 'vitest';
import { jobFindings } from '../../../core/checks/findings/job-findings.ts';
import { findingsBlock } from '../../../core/findings/layout/findings.ts';
import { jobWithVehicle } from '../../../core/job/edits/vehicle-begin.ts';
import { jobProductionSettings } from '../../../core/job/job-production-settings.ts';
import type { Job } from '../../../core/job/schema.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { jobProduction } from '../../../core/production/job-production.ts';
import { smallJob } from '../../support/small-job.ts';

/** One side of 1,100 × 1,300 mm with bleeds of 50 mm prints 1.2 × 1.4 = 1.68 m². */
function vehicleJob(usualCoveragePercent?: number): Job {
  const { artwork: _, ...rest } = smallJob({ sides: [] });
  const begun = jobWithVehicle(rest, [{ role: 'left', widthMm: 1100, heightMm: 1300 }]);
  if (!begun.ok) throw new Error(begun.problem.message);
  const job = begun.value;
  const production = jobProductionSettings(job);
  const bleed = { top: 50, right: 50, bottom: 50, left: 50 };
  return {
    ...job,
    sides: job.sides.map((side) => ({ ...side, bleed })),
    production: {
      ...production,
      figures: {
        ...production.figures,
        inkMlPerM2: 10,
        ...(usualCoveragePercent !== undefined && { usualCoveragePercent }),
      },
    },
  };
}

it('VEH3 estimates the ink of a side without artwork by the usual coverage of the shop, and says so', () => {
  const inkOf = (job: Job) => jobProduction(job, jobLayout(job)).estimates.ink;
  // 1.68 m² × 10 ml × 220 %
  expect(inkOf(vehicleJob(220))?.value).toBeCloseTo(36.96, 6);
  expect(inkOf(vehicleJob(220))?.inputs).toContainEqual({
    name: 'Usual coverage, no artwork yet',
    value: expect.closeTo(220, 6),
    unit: '%',
  });
  // 150 % where the shop has given no figure.
  expect(inkOf(vehicleJob())?.value).toBeCloseTo(25.2, 6);
});

it('VEH3 stops the output of a side on no page, once the job has artwork too', () => {
  const job = vehicleJob();
  const stops = (each: Job) =>
    findingsBlock(each, jobFindings({ job: each, layouts: jobLayout(each) })).map(({ code }) => code);
  expect(stops(job)).toEqual(['artwork-none']);
  const artwork = { fileName: 'a.pdf', sha256: 'b'.repeat(64), sizeBytes: 7, box: 'crop' } as const;
  expect(stops({ ...job, artwork })).toEqual(['side-on-no-page']);
});
