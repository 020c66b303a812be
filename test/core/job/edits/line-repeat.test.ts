import { describe, expect, it } from 'vitest';
import { bodyLineRepeat, itemAdd } from '../../../../core/job/edits/edits.ts';
import type { Job } from '../../../../core/job/schema.ts';
import { jobSample } from '../sample-job.ts';

function jobWithLine(name: string, atMm: number, direction: 'vertical' | 'horizontal' = 'vertical'): Job {
  const added = itemAdd(jobSample(), {
    sideId: 's1',
    list: 'bodyLines',
    item: { name, kind: 'rivet-row', direction, atMm },
    id: 'b90',
  });
  if (!added.ok) throw new Error(added.problem.message);
  return added.value;
}

const repeated = (job: Job, everyMm: number, times: number) => {
  const edited = bodyLineRepeat(job, { sideId: 's1', itemId: 'b90', everyMm, times });
  return edited.ok ? edited.value.sides[0]!.bodyLines : edited.problem.message;
};

describe('repeating a body line', () => {
  it('adds lines like it at even distances, numbered on', () => {
    const lines = repeated(jobWithLine('Rivet row', 410), 610, 8);
    expect(lines).toHaveLength(9);
    expect(lines).toMatchObject([
      { name: 'Rivet row', atMm: 410 },
      { name: 'Rivet row 2', atMm: 1020, kind: 'rivet-row', direction: 'vertical' },
      { name: 'Rivet row 3', atMm: 1630 },
      {},
      {},
      {},
      {},
      {},
      { name: 'Rivet row 9', atMm: 5290 },
    ]);
    const ids = new Set(typeof lines === 'string' ? [] : lines.map(({ id }) => id));
    expect(ids.size).toBe(9);
  });

  it('goes toward the left or the top with a distance below 0', () => {
    expect(repeated(jobWithLine('Post 12', 1900, 'horizontal'), -700, 2)).toMatchObject([
      { name: 'Post 12', atMm: 1900 },
      { name: 'Post 13', atMm: 1200 },
      { name: 'Post 14', atMm: 500 },
    ]);
  });

  it('places none beyond the side, and says how many fit', () => {
    expect(repeated(jobWithLine('Post', 410), 610, 10)).toContain('Only 9 lines fit');
    expect(repeated(jobWithLine('Post', 410), -610, 1)).toContain('beyond the edge');
    expect(repeated(jobWithLine('Post', 410), 0, 3)).toContain('at a distance');
    expect(repeated(jobWithLine('Post', 410), 610, 2.5)).toContain('whole number');
  });
});
