import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { jobFindings } from '../../../core/checks/findings/job-findings.ts';
import { findingKey } from '../../../core/findings/finding.ts';
import { findingsSorted } from '../../../core/findings/layout/findings.ts';
import { seriesRuns } from '../../support/series.ts';
import { jobClean } from '../findings/sample-findings.ts';
import { sidesArbitrary } from '../layout/arbitrary-layout.ts';
import { derived, FILM, known, LAMINATE, opened } from './production-jobs.ts';

describe('the findings of a job as one list', () => {
  it('have no two of one key and the most serious first, with panels locked anywhere', () => {
    const place = fc.record({
      xMm: fc.integer({ min: 0, max: 1500 }),
      yMm: fc.integer({ min: 0, max: 9000 }),
      rollId: fc.constantFrom('roll-1', 'roll-2'),
      turned: fc.boolean(),
    });
    const places = fc.array(place, { minLength: 3, maxLength: 5 });
    fc.assert(
      fc.property(sidesArbitrary, places, (side, lockedAt) => {
        const job = opened(
          { ...jobClean(), sides: [side] },
          { film: FILM, laminate: LAMINATE, promisedYears: 9 },
        );
        const panels = known(job).layouts[0]!.panels.slice(0, lockedAt.length);
        const locked = panels.map(({ id }, index) => ({ panelId: `${job.id}/${id}`, ...lockedAt[index]! }));
        const found = jobFindings(derived({ ...job, production: { ...job.production!, locked } }));
        const keys = found.map(findingKey);
        expect(keys.filter((key, index) => keys.indexOf(key) !== index)).toEqual([]);
        expect(findingsSorted(found)).toEqual(found);
        expect(keys.filter((key) => key.startsWith('pair-service-life'))).toHaveLength(2);
      }),
      seriesRuns(12, 400),
    );
  });
});
