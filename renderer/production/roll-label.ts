/** What is written on a drawn panel: all of its label that can be read there. */

import { lastOf } from '../../core/measure/present.ts';
import type { PxBox } from './roll-drawing.ts';

const PX_PER_CHARACTER = 8;
const LINE_PX = 16;

/** A job among others on the same rolls. */
export interface LabelOwner {
  /** Its number, with which the labels of its panels begin. */
  readonly mark: string;
  /** Its place among the jobs, from 0. */
  readonly index: number;
}

/** A, B … Z, AA, AB …: replaces the number of a job where there is no room for it. */
export const jobLetter = (index: number): string =>
  (index < 26 ? '' : jobLetter(Math.floor(index / 26) - 1)) + String.fromCharCode(65 + (index % 26));

/**
 * Lines along the longer side of the box. A panel of one job among several has the job's number before its own; where
 * both do not fit on one line they take two, and where those do not fit either a letter replaces the job number.
 */
export function panelLabelLines(label: string, owner: LabelOwner | undefined, box: PxBox): readonly string[] {
  const [short, long] = [Math.min(box.width, box.height), Math.max(box.width, box.height)];
  // Room at both ends for the padlock.
  const fits = (lines: readonly string[]) =>
    short >= lines.length * LINE_PX &&
    lines.every((line) => long >= line.length * PX_PER_CHARACTER + 2 * LINE_PX);
  return ways(label, owner).find(fits) ?? [];
}

function ways(label: string, owner: LabelOwner | undefined): readonly (readonly string[])[] {
  // Of one job the number of a panel says enough where its side has no room.
  // The hyphen stays at the end of its line, so that what is seen is what is read out.
  if (!owner) return [[label], label.split(/(?<=-)/), [lastOf(label.split('-'))]];
  const own = label.slice(owner.mark.length + 1);
  const letter = jobLetter(owner.index);
  return [[label], [owner.mark, own], [`${letter} ${own}`], [letter, own]];
}
