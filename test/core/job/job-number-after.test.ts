import { describe, expect, it } from 'vitest';
import { jobNameFromFile, jobNumberAfter } from '../../../core/job/job-number.ts';

describe('the number of the next job', () => {
  it('counts on from the latest one', () => {
    expect(jobNumberAfter('2026-118', '2026')).toBe('2026-119');
    expect(jobNumberAfter('AB 099', '2026')).toBe('AB 100');
    expect(jobNumberAfter('SJ-7b', '2026')).toBe('SJ-8b');
    expect(jobNumberAfter('Library', '2026')).toBe('2026-001');
    expect(jobNumberAfter(undefined, '2027')).toBe('2027-001');
  });

  it('goes with a name from the file', () => {
    expect(jobNameFromFile('van_left  v2.PDF')).toBe('van left v2');
    expect(jobNameFromFile('.pdf')).toBe('Artwork');
  });
});
