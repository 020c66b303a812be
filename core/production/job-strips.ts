/** The print files of a job that is printed strip by strip: what of the roll plan goes into which file. */

import type { Job, OutputSize } from '../job/schema.ts';
import { MAX_PAGE_MM } from '../measure/page-limits.ts';
import { foundIn } from '../measure/present.ts';
import type { Mm } from '../measure/units.ts';
import { stripFileName } from '../output/file-name.ts';
import { type PrintStrip, printStrips } from '../rolls/print-strips.ts';
import type { RollStock } from '../shop/rolls.ts';
import { stripUses } from './fill-list.ts';
import type { FilmProduction } from './film-production.ts';

export interface JobStrip {
  /** Name of its file, below the folder of strips. */
  readonly fileName: string;
  /** Counted from 1 through the whole job, in print order. */
  readonly number: number;
  /** Place of the roll among those in use, from 1. */
  readonly rollNumber: number;
  readonly roll: RollStock;
  readonly strip: PrintStrip;
}

/** Keeps STR7. */
export const isStripJob = (job: Job): boolean => job.output.files === 'strips';

/** Of one film, in print order: roll by roll, each in as few files as the longest print and the longest page allow. */
export function jobStrips(
  job: Job,
  production: Pick<FilmProduction, 'plan' | 'rolls' | 'rules' | 'settings' | 'before'>,
): JobStrip[] {
  const { rolls, rules, before = { rolls: 0, strips: 0 } } = production;
  const { size } = job.output;
  const strips = stripUses(job, production).flatMap((use, index) => {
    const roll = foundIn(rolls, ({ id }) => id === use.rollId);
    return printStrips(use, rules, longestPageMm(size)).map((strip) => ({
      rollNumber: before.rolls + index + 1,
      roll,
      strip,
    }));
  });
  const enlargeBy = size.kind === 'reduction' ? size.factor : 1;
  return strips.map((strip, index) => ({
    ...strip,
    number: before.strips + index + 1,
    fileName: stripFileName(job.number, strip.rollNumber, before.strips + index + 1, enlargeBy),
  }));
}

/** How much film a page of this size can hold. */
function longestPageMm(size: OutputSize): Mm {
  if (size.kind === 'user-unit') return Number.POSITIVE_INFINITY;
  return size.kind === 'reduction' ? size.factor * MAX_PAGE_MM : MAX_PAGE_MM;
}
