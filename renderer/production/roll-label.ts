/** What is written on a drawn panel: all of its label that can be read there. */
import type { PxBox } from './roll-drawing.ts';

const PX_PER_CHARACTER = 8;
const LINE_PX = 16;

/**
 * Lines along the longer side of the box. A panel of one job among several has the job's number before its own; where
 * both do not fit on one line they stand on two, and where only one fits it is the panel's.
 */
export function panelLabelLines(label: string, mark: string | undefined, box: PxBox): readonly string[] {
  const [short, long] = [Math.min(box.width, box.height), Math.max(box.width, box.height)];
  // Room at both ends for the padlock.
  const fits = (lines: readonly string[]) =>
    short >= lines.length * LINE_PX &&
    lines.every((line) => long >= line.length * PX_PER_CHARACTER + 2 * LINE_PX);
  const own = mark === undefined ? label : label.slice(mark.length + 1);
  const ways = mark === undefined ? [[label]] : [[label], [mark, own], [own]];
  return ways.find(fits) ?? [];
}
