/** What kind of vehicle an artwork is for, as its name and the words beside its sides say it. */
import type { VehicleKind } from '../job/schema.ts';
import { rectIntersection } from '../measure/rect.ts';
import type { PageSeen } from './page-seen.ts';

/** The first one that is found counts: a box truck is no other truck, and what a truck pulls is a trailer. */
const WORDS: readonly (readonly [VehicleKind, RegExp])[] = [
  ['trailer', /\b(?:semi ?)?trailers?\b/],
  ['box-body', /\bbox (?:truck|body|van)\b/],
  ['truck', /\btrucks?\b/],
  ['bus', /\b(?:bus|coach)\b/],
  ['van', /\b(?:mini|step ?)?van\b/],
  ['car', /\b(?:car|sedan|hatchback|suv)\b/],
];

/** Undefined where nothing says it. What the artwork itself says is advertising: a van may sell trucks. */
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
