import type { Job } from '../job/schema.ts';
import type { PrintingFacts } from '../sheets/ticket-operator.ts';
import type { ArtworkScan } from './scan/schema.ts';

/** The inks, printing conditions and overprint of the pages that a job uses, for setting up the RIP. */
export function printingFacts(job: Job, { document, pages }: ArtworkScan): PrintingFacts {
  const used = new Set(job.sides.map(({ page }) => page));
  const ofJob = pages.filter(({ number }) => used.has(number));
  const intents = [...document.outputIntents, ...ofJob.flatMap(({ outputIntents }) => outputIntents)];
  const spots = new Map<string, Set<string>>();
  for (const { name, alternates } of ofJob.flatMap((page) => page.spots)) {
    if (name === 'All') continue;
    spots.set(name, new Set([...(spots.get(name) ?? []), ...alternates]));
  }
  return {
    outputIntents: [...new Set(intents.map(({ condition }) => condition).filter(Boolean))],
    spots: [...spots].map(([name, alternates]) => ({ name, alternates: [...alternates] })),
    overprints: ofJob.some(({ overprint }) => overprint !== undefined),
  };
}
