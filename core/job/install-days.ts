/** The installation day of a panel, in a job that is installed in stages. */
import { regionPanels } from './region.ts';
import type { Job, Side } from './schema.ts';

/** What has a day: a side, or a panel. */
interface OfDay {
  readonly installDay?: number | undefined;
}

/** A panel without a day uses that of its side, and a side without one uses the first. */
export const installDay = ({ installDay: day = 1 }: OfDay): number => day;

/** Whether anything is installed after the first day. */
export const isStaged = ({ sides }: Pick<Job, 'sides'>): boolean => sides.some(isSideStaged);

export const isSideStaged = (side: Pick<Side, 'installDay' | 'layout'>): boolean =>
  installDay(side) > 1 || regionPanels(side.layout).some((panel) => installDay(panel) > 1);

/** `day 2`, in a job that is installed on several days. */
export const panelDayText = (job: Pick<Job, 'sides'>, panel: OfDay): string | undefined =>
  isStaged(job) ? `day ${installDay(panel)}` : undefined;
