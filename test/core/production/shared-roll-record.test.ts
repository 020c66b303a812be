import { describe, expect, it } from 'vitest';
import { FIRST_FILM_ID } from '../../../core/job/job-films.ts';
import type { Job } from '../../../core/job/schema.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import {
  isRecordOf,
  SharedRollRecord,
  sharedRollChanges,
  sharedRollRecord,
} from '../../../core/production/shared-roll-record.ts';
import { sharedRolls } from '../../../core/production/shared-rolls.ts';
import { DEFAULT_PRODUCTION } from '../../../core/shop/production-settings.ts';
import { narrowJob } from '../../support/narrow-job.ts';

function laid(...jobs: Job[]) {
  const shared = sharedRolls(jobs.map((job) => ({ job, layouts: jobLayout(job) })));
  if (!shared.ok) throw new Error(shared.problem.message);
  return shared.value;
}

const [a, b] = [narrowJob('a', 'A-1'), narrowJob('b', 'B-2')];
const kept = () => {
  const shared = laid(a, b);
  return sharedRollRecord('plan-3', shared, { placements: [...shared.plan.placements], locked: [] });
};
const seamMoved = (job: Job, atMm: number): Job => {
  const side = job.sides[0]!;
  if (side.layout.kind !== 'split') throw new Error('the side has no seam');
  const joints = side.layout.joints.map((joint) => ({ ...joint, atMm }));
  return { ...job, sides: [{ ...side, layout: { ...side.layout, joints } }] };
};

describe('a shared plan that is kept', () => {
  it('is known by its jobs in any order, and reads back as it was written', () => {
    const record = kept();
    expect(SharedRollRecord.parse(JSON.parse(JSON.stringify(record)))).toEqual(record);
    const of = (...ids: string[]) => Object.fromEntries(ids.map((id) => [id, FIRST_FILM_ID]));
    expect(isRecordOf(record, of('b', 'a'))).toBe(true);
    expect(isRecordOf(record, of('a'))).toBe(false);
    expect(isRecordOf(record, of('a', 'b', 'c'))).toBe(false);
    expect(isRecordOf(record, of('a', 'c'))).toBe(false);
    // Another film of the same jobs has a nesting of its own.
    expect(isRecordOf(record, { ...of('a'), b: 'film-2' })).toBe(false);
  });

  it('has changed in nothing while jobs and rolls are the same, whatever else was written in the jobs', () => {
    expect(sharedRollChanges(kept(), laid(a, { ...b, notes: 'Call before delivery.' }))).toEqual([]);
    // The unit is how lengths are said, not how panels lie.
    expect(sharedRollChanges(kept(), laid({ ...a, displayUnit: 'in' }, b))).toEqual([]);
  });

  it('names the panels that are larger, new, gone or called otherwise', () => {
    const [sentence, ...others] = sharedRollChanges(kept(), laid(a, seamMoved(b, 520)));
    expect(others).toEqual([]);
    expect(sentence).toMatch(
      /^Job B-2 has changed since this nesting was kept: B-2 LH-01 is now \d+ mm by \d+ mm, B-2 LH-02 is now/,
    );
    const whole = { ...b, sides: [{ ...b.sides[0]!, layout: { kind: 'panel' as const, id: 'p1' } }] };
    expect(sharedRollChanges(kept(), laid(a, whole))[0]).toContain('B-2 LH-02 is gone');
    const fresh = { ...b, sides: [{ ...b.sides[0]!, layout: { kind: 'panel' as const, id: 'p9' } }] };
    expect(sharedRollChanges(kept(), laid(a, fresh))[0]).toContain('B-2 LH-01 is new');
    expect(sharedRollChanges(kept(), laid({ ...a, number: 'A-7' }, b))).toEqual([
      'Job A-1 has changed since this nesting was kept: A-1 LH-01 is now called A-7 LH-01, A-1 LH-02 is now called A-7 LH-02.',
    ]);
  });

  it('says when the rolls at hand or the rules of the first job are different', () => {
    const production = { ...DEFAULT_PRODUCTION, rules: { ...DEFAULT_PRODUCTION.rules, gapMm: 22 } };
    const sentence = 'The rolls at hand or the rules of job A-1 have changed since this nesting was kept.';
    expect(sharedRollChanges(kept(), laid({ ...a, production }, b))).toEqual([sentence]);
    // Those of the other jobs hold for nothing here.
    expect(sharedRollChanges(kept(), laid(a, { ...b, production }))).toEqual([]);
  });

  it('forgets places of panels that are no more', () => {
    const shared = laid(a, b);
    const place = { panelId: 'x/p1', rollId: 'roll-1', xMm: 10, yMm: 210, turned: false };
    expect(sharedRollRecord('p', shared, { placements: [place], locked: [place] })).toMatchObject({
      placements: [],
      locked: [],
    });
  });
});
