/** On which day of the installation a panel is installed, where a job is released in stages. */
import { regionPanels } from './region.ts';
import type { Job, Side } from './schema.ts';

/** What says a day: a side, or a panel of one. */
interface OfDay {
  readonly installDay?: number | undefined;
}

/** A panel without one is of the day of its side, and that of the first where it has none. */
export const installDay = ({ installDay: day = 1 }: OfDay): number => day;

/** Whether anything is installed after the first day. */
export const isStaged = ({ sides }: Pick<Job, 'sides'>): boolean => sides.some(isSideStaged);

export const isSideStaged = (side: Pick<Side, 'installDay' | 'layout'>): boolean =>
  installDay(side) > 1 || regionPanels(side.layout).some((panel) => installDay(panel) > 1);

/** `day 2`, of a job that is installed on several days. */
export const panelDayText = (job: Pick<Job, 'sides'>, panel: OfDay): string | undefined =>
  isStaged(job) ? `day ${installDay(panel)}` : undefined;
