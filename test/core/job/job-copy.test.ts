import { describe, expect, it } from 'vitest';
import { jobWithId } from '../../../core/job/job-copy.ts';
import { DEFAULT_PRODUCTION } from '../../../core/shop/production-settings.ts';
import { smallJob } from '../../support/small-job.ts';

describe('a job under another id', () => {
  it('keeps its panels where they were locked on the roll', () => {
    const place = { rollId: 'r1', xMm: 17, yMm: 231, turned: true };
    const job = smallJob({
      production: {
        ...DEFAULT_PRODUCTION,
        locked: [
          { panelId: 'small-job/p2', ...place },
          { panelId: 'other/p2', ...place },
        ],
      },
    });
    const copy = jobWithId(job, 'copy-9');
    expect(copy.production?.locked.map(({ panelId }) => panelId)).toEqual(['copy-9/p2', 'other/p2']);
    expect({ ...copy, id: job.id, production: job.production }).toEqual(job);
  });
});
