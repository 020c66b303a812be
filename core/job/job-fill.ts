/** Fill pieces of a job, printed in the waste beside its panels, for all its films. */
import type { FillItem } from '../shop/fill-item.ts';
import type { Job } from './schema.ts';

export const jobFill = ({ production, otherFilms = [] }: Job): FillItem[] =>
  [production, ...otherFilms.map((other) => other.production)].flatMap((settings) => settings?.fill ?? []);

export function jobWithoutFill(job: Job): Job {
  if (jobFill(job).length === 0) return job;
  const without = <T extends { readonly fill?: unknown }>({ fill: _, ...rest }: T) => rest;
  return {
    ...job,
    ...(job.production && { production: without(job.production) }),
    ...(job.otherFilms && {
      otherFilms: job.otherFilms.map((other) =>
        other.production ? { ...other, production: without(other.production) } : other,
      ),
    }),
  };
}
