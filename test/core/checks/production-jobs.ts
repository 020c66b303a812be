/** Jobs that were opened for production, and what is known of them. */
import type { JobKnown } from '../../../core/checks/findings/job-findings.ts';
import type { Job } from '../../../core/job/schema.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { jobProduction } from '../../../core/production/job-production.ts';
import { DEFAULT_PRODUCTION, type ProductionSettings } from '../../../core/shop/production-settings.ts';
import type { ShelfFilm, ShelfLaminate } from '../../../core/shop/shelf.ts';
import { PAGES_SAMPLE } from '../job/sample-job.ts';

const material = {
  finish: 'gloss',
  thicknessUm: 51,
  adhesive: 'solvent acrylic',
  serviceYears: 7,
  widthMm: 1560,
  lengthMm: 45_720,
  pricePerM2: 11,
  lotNumber: 'A 1',
} as const;
export const FILM: ShelfFilm = {
  ...material,
  id: 'f1',
  use: 'film',
  name: 'White cast',
  kind: 'cast',
  stretchLimitPercent: 100,
};
export const LAMINATE: ShelfLaminate = {
  ...material,
  id: 'l1',
  use: 'laminate',
  name: 'Clear monomeric',
  kind: 'calendered-monomeric',
  serviceYears: 3,
};
export const NAMED = { name: LAMINATE.name, kind: LAMINATE.kind, finish: '', lotNumber: '' };

export const opened = (job: Job, settings: Partial<ProductionSettings> = {}): Job => ({
  ...job,
  production: { ...DEFAULT_PRODUCTION, ...settings },
});

export const known = (job: Job): JobKnown => ({ job, layouts: jobLayout(job, PAGES_SAMPLE) });

export function derived(job: Job): JobKnown {
  const read = known(job);
  return { ...read, production: jobProduction(job, read.layouts) };
}
