/**
 * Nestings from one start to the next: to search one takes a second or more. They can be searched again, so they lie
 * among the previews, with the artwork of their job.
 */
import { z } from 'zod';
import type { ArtworkReference } from '../../core/job/schema.ts';
import { knownRollPlans, RollPlan } from '../../core/rolls/roll-plan.ts';
import { PROGRAM_VERSION } from '../files/program.ts';
import { PreviewCache } from '../render/preview-cache.ts';

const NAME = 'nestings.json';
/** To be raised when the same panels are nested otherwise than before. */
const EDITION = 1;
const WRITER = `${PROGRAM_VERSION} ${EDITION}`;
/** Of one artwork; each takes some ten kilobytes. */
const MOST_KEPT = 12;

const Kept = z.strictObject({ by: z.literal(WRITER), plans: z.array(z.tuple([z.string(), RollPlan])) });

/** `work` knows the nestings that were searched for jobs of this artwork before, and those that it searches are kept. */
export async function withKeptNestings<T>(
  archiveFolder: string | undefined,
  artwork: ArtworkReference | undefined,
  work: () => T | Promise<T>,
): Promise<T> {
  if (archiveFolder === undefined || !artwork) return await work();
  const cache = new PreviewCache(archiveFolder);
  const kept = Kept.safeParse(await cache.value(artwork, NAME)).data?.plans ?? [];
  for (const [asked, plan] of kept) knownRollPlans.set(asked, plan);
  const before = new Set(knownRollPlans.keys());
  const done = await work();
  const made = [...knownRollPlans].filter(([asked]) => !before.has(asked));
  if (made.length > 0) {
    const plans = [...kept, ...made].slice(-MOST_KEPT);
    await cache.keepValue(artwork, NAME, { by: WRITER, plans } satisfies z.infer<typeof Kept>);
  }
  return done;
}
