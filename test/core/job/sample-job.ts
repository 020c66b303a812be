import { jobEmpty } from '../../../core/job/defaults.ts';
import type { EditResult } from '../../../core/job/edits/edits.ts';
import type { Job, Joint, Region, Side } from '../../../core/job/schema.ts';

/** A vertical or horizontal lap with the trade's sides on top: upper over lower, and the second over the first. */
export const lap = (id: string, atMm: number, more: Partial<Joint> = {}): Joint => ({
  id,
  kind: 'lap',
  atMm,
  firstMm: 14,
  secondMm: 11,
  top: 'first',
  ...more,
});

export const panel = (id: string): Region => ({ kind: 'panel', id });

export const split = (seams: 'horizontal' | 'vertical', joints: Joint[], parts: Region[]): Region => ({
  kind: 'split',
  seams,
  joints,
  parts,
});

/**
 * The left side of the bookmobile, 6130 × 2270 mm, drawn at 1:10 at (31, 17) of an 793 × 311 mm page:
 *
 *     0        1290          2710                     6130
 *     ┌─────────┬─────────────┬────────────────────────┐ 0
 *     │         │             │  p3                    │
 *     │  p1     │  p2         ├────────────────────────┤ 890
 *     │         │             │  p4                    │
 *     └─────────┴─────────────┴────────────────────────┘ 2270
 */
export const sideSample = (more: Partial<Side> = {}): Side => ({
  id: 's1',
  code: 'LH',
  name: 'Left side',
  page: 1,
  artworkRect: { xMm: 31, yMm: 17, widthMm: 613, heightMm: 227 },
  front: 'left',
  bleed: { top: 40, right: 60, bottom: 70, left: 50 },
  bodyLines: [],
  noSeamAreas: [],
  ground: [],
  noFilmAreas: [],
  layout: split(
    'vertical',
    [lap('j1', 1290), lap('j2', 2710)],
    [panel('p1'), panel('p2'), split('horizontal', [lap('j3', 890)], [panel('p3'), panel('p4')])],
  ),
  notes: '',
  ...more,
});

export const PAGES_SAMPLE = new Map([[1, { x: 0, y: 0, width: 793, height: 311 }]]);

export function jobSample(more: Partial<Job> = {}): Job {
  return {
    ...jobEmpty({
      id: 'bookmobile',
      number: '2026-0417',
      name: 'Bookmobile',
      customer: 'Alder County Library',
      date: '2026-11-25',
    }),
    artwork: { fileName: 'bookmobile.pdf', sha256: 'a1'.repeat(32), sizeBytes: 123_457, box: 'trim' },
    sides: [sideSample()],
    ...more,
  };
}

export const jobWithSide = (side: Partial<Side>, more: Partial<Job> = {}): Job =>
  jobSample({ sides: [sideSample(side)], ...more });

/** `count` panels in one vertical run over the sample's 6130 mm. */
export function layoutOfMany(count: number): Region {
  const joints = Array.from({ length: count - 1 }, (_, index) =>
    lap(`jm${index + 1}`, (6130 * (index + 1)) / count, { firstMm: 1.5, secondMm: 1 }),
  );
  return split(
    'vertical',
    joints,
    Array.from({ length: count }, (_, index) => panel(`pm${index + 1}`)),
  );
}

/** The job that an edit gave; an edit that was refused fails the test with its reason. */
export function edited(result: EditResult): Job {
  if (!result.ok) throw new Error(`${result.problem.code}: ${result.problem.message}`);
  return result.value;
}
