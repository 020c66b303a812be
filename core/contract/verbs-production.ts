/** Rolls, ink, drying and estimates of a job, and rolls shared by jobs. */
import { z } from 'zod';
import { Job } from '../job/schema.ts';
import { MeasuredCoverage } from '../production/job-coverage.ts';
import { JobProduction } from '../production/job-production.ts';
import { FilmGroup, FilmsOfJobs } from '../production/shared-film.ts';
import { MOST_SHARED_JOBS } from '../production/shared-roll-record.ts';
import { SharedRolls } from '../production/shared-rolls.ts';
import { RollPlacement } from '../shop/rolls.ts';
import { id, token, type Verb } from './parts.ts';

const sharedJobIds = z.array(id).min(1).max(MOST_SHARED_JOBS);
const sharedPlan = {
  jobIds: sharedJobIds,
  films: FilmsOfJobs.optional(),
  locked: z.array(RollPlacement),
  places: z.array(RollPlacement).optional(),
};

export const PRODUCTION_VERBS = {
  /** Nesting, drying clock and estimates of a job. */
  'production:derive': {
    /** `measured`: of this job's panels, see `ink:measure`. */
    request: z.strictObject({ job: Job, measured: MeasuredCoverage.optional() }),
    reply: JobProduction,
  },

  /** Ink coverage of every panel, computed from the artwork. */
  'ink:measure': { request: z.strictObject({ job: Job }), reply: MeasuredCoverage },

  /** Which of the jobs print on one film with one printer, and a sentence for each that does not match the first. */
  'rolls:films': {
    request: z.strictObject({ jobIds: sharedJobIds }),
    reply: z.strictObject({ groups: z.array(FilmGroup), apart: z.array(z.string()) }),
  },
  /**
   * Nests jobs of one film on the rolls of the first. With `places` (of all panels), nothing is nested and the given
   * nesting is checked.
   */
  'rolls:share': {
    request: z.strictObject(sharedPlan),
    reply: SharedRolls,
  },
  /** Writes the sheet of a shared nesting into a folder. */
  'rolls:write': {
    request: z.strictObject({ ...sharedPlan, folder: token }),
    reply: z.strictObject({ fileName: z.string() }),
  },
} as const satisfies Record<string, Verb>;
