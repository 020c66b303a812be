import type { Job } from '../job/schema.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import { itemAt } from '../measure/present.ts';
import { jobInstall } from '../seams/side-install.ts';

/** Installation effort of a side by the planner's rule, hours rounded up to the half hour. */
export interface InstallTime {
  readonly hours: number;
  readonly people: number;
}

const MINUTES_PER_HALF_HOUR = 30;

const hoursOf = (minutes: number): number => Math.ceil(minutes / MINUTES_PER_HALF_HOUR - 1e-6) / 2;

/** By side id, plus the total; empty for a reprint, for which there is no rule. */
export interface InstallTimes {
  readonly sides: ReadonlyMap<string, InstallTime>;
  readonly all: InstallTime | undefined;
}

export function installTimes(job: Job, layouts: readonly SideLayout[], isReprint: boolean): InstallTimes {
  const found = isReprint ? undefined : jobInstall(job, layouts);
  if (!found) return { sides: new Map(), all: undefined };
  const sides = new Map(
    found.map(({ minutes, people }, index) => [
      itemAt(layouts, index).side.id,
      { hours: hoursOf(minutes), people: Math.max(1, people) },
    ]),
  );
  const all = {
    hours: hoursOf(found.reduce((sum, { minutes }) => sum + minutes, 0)),
    people: Math.max(1, ...found.map(({ people }) => people)),
  };
  return { sides, all };
}

export const peopleText = (people: number): string => (people === 1 ? '1 person' : `${people} people`);
