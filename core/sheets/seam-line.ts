import { finishedOverlap } from '../job/lap-figures.ts';
import type { Job, SeamTrim } from '../job/schema.ts';
import type { Seam } from '../layout/panel.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import { firstOf } from '../measure/present.ts';
import { EDGES } from '../measure/rect.ts';
import { TRIM_WORDS } from './install-steps.ts';
import { type DisplayUnit, sheetLength, sheetLengthWithUnit } from './sheet-length.ts';

/** What applies to all seams of one kind on a side; absent where there are none of that kind. */
interface SeamWords {
  readonly upright?: string;
  readonly level?: string;
  readonly leave?: string;
  readonly trim?: string;
}

const KINDS = ['upright', 'level', 'leave', 'trim'] as const;

/** Whether one line states finished overlap and trim for every seam of a side. */
export const isSaidInOneLine = (layout: SideLayout): boolean =>
  new Set(layout.seams.filter(({ joint }) => joint === 'lap').map(finishedOverlap)).size <= 1 &&
  trimsOf(layout).length <= 1;

/**
 * How panels overlap, in one line derived from the seams: `Forward over rear, upper over lower, leave 1/2 in covered,
 * trim over cutting tape, white border off first.` Differences between sides are listed side by side.
 */
export function seamLines(job: Job, layouts: readonly SideLayout[]): readonly string[] {
  const sides = layouts
    .map((layout) => ({ code: layout.side.code, words: seamWords(layout, job.displayUnit) }))
    .filter(({ words }) => KINDS.some((kind) => words[kind] !== undefined));
  const common = KINDS.filter((kind) => new Set(sides.flatMap(({ words }) => words[kind] ?? [])).size === 1);
  const shared = common.map((kind) => firstOf(sides.flatMap(({ words }) => words[kind] ?? [])));
  const all = [...shared, ...(job.output.borderMm > 0 ? ['white border off first'] : [])];
  const apart = sides.flatMap(({ code, words }) => {
    const own = KINDS.filter((kind) => !common.includes(kind)).flatMap((kind) => words[kind] ?? []);
    return own.length > 0 ? [`${code}: ${own.join(', ')}.`] : [];
  });
  return [...(all.length > 0 ? [`${capitalized(all.join(', '))}.`] : []), ...apart];
}

const capitalized = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

/** The kinds of trim of a side's visible edges on the vehicle. */
function trimsOf({ panels }: SideLayout): SeamTrim[] {
  const seen = panels.flatMap(({ edges }) =>
    EDGES.flatMap((edge) => {
      const at = edges[edge];
      return at.kind === 'seam' && at.lies !== 'apart' && at.trim !== 'none' && at.trim !== 'shop'
        ? [at.trim]
        : [];
    }),
  );
  return [...new Set(seen)];
}

function seamWords(layout: SideLayout, unit: DisplayUnit): SeamWords {
  const { side, seams } = layout;
  const trims = trimsOf(layout);
  const laps = seams.filter(({ joint }) => joint === 'lap');
  const tops = (direction: Seam['direction']) => [
    ...new Set(laps.filter((seam) => seam.direction === direction).map(({ top }) => top)),
  ];
  const upright = tops('vertical');
  const level = tops('horizontal');
  return {
    ...(upright.length > 0 && { upright: uprightWords(upright, side.front) }),
    ...(level.length > 0 && {
      level:
        level.length > 1
          ? 'level seams as each step says'
          : level[0] === 'first'
            ? 'upper over lower'
            : 'lower over upper',
    }),
    ...(laps.length > 0 && { leave: leaveWords(laps, unit) }),
    ...(trims.length > 0 && {
      trim: trims.length > 1 ? 'trim as each step says' : `trim ${TRIM_WORDS[firstOf(trims)]}`,
    }),
  };
}

function uprightWords(tops: readonly Seam['top'][], front: SideLayout['side']['front']): string {
  if (tops.length > 1) return 'upright seams as each step says';
  const onTop = tops[0] === 'first' ? 'left' : 'right';
  if (front === 'none') return onTop === 'left' ? 'left over right' : 'right over left';
  return onTop === front ? 'forward over rear' : 'rear over forward';
}

function leaveWords(laps: readonly Seam[], unit: DisplayUnit): string {
  const kept = laps.map(finishedOverlap);
  const [least, most] = [Math.min(...kept), Math.max(...kept)];
  const text = sheetLengthWithUnit(most, unit);
  const from = sheetLength(least, unit);
  if (most === 0) return 'nothing stays covered';
  return from === sheetLength(most, unit) ? `leave ${text} covered` : `leave ${from} to ${text} covered`;
}
