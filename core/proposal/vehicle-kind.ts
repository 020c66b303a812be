/** Tells the kind of vehicle that an artwork is for, from its name and the words beside its sides. */
import type { VehicleKind } from '../job/schema.ts';
import { rectIntersection } from '../measure/rect.ts';
import type { PageSeen } from './page-seen.ts';

/** The first match counts: a box truck is not another truck, and what a truck pulls is a trailer. */
const WORDS: readonly (readonly [VehicleKind, RegExp])[] = [
  ['trailer', /\b(?:semi ?)?trailers?\b/],
  ['box-body', /\bbox (?:truck|body|van)\b/],
  ['truck', /\btrucks?\b/],
  ['bus', /\b(?:bus|coach)\b/],
  ['van', /\b(?:mini|step ?)?van\b/],
  ['car', /\b(?:car|sedan|hatchback|suv)\b/],
];

/**
 * Undefined where there is no evidence. Words in the artwork itself do not count, because they are advertising: a van
 * may advertise trucks.
 */
export function vehicleKindProposed(name: string, pages: readonly PageSeen[]): VehicleKind | undefined {
  const beside = pages.flatMap(({ finished, lettering }) =>
    finished ? lettering.filter(({ area }) => !rectIntersection(finished, area)).map(({ text }) => text) : [],
  );
  for (const text of [name, ...beside].map((each) => each.toLowerCase().replaceAll(/[_-]+/g, ' '))) {
    const found = WORDS.find(([, word]) => word.test(text));
    if (found) return found[0];
  }
  return undefined;
}
