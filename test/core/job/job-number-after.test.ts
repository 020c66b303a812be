import { describe, expect, it } from 'vitest';
import { jobNameFromFile, jobNumberAfter, jobNumberStart } from '../../../core/job/job-number.ts';

describe('the number of the next job', () => {
  it('counts on from the latest one', () => {
    expect(jobNumberAfter('2026-118', '2026')).toBe('2026-119');
    expect(jobNumberAfter('AB 099', '2026')).toBe('AB 100');
    expect(jobNumberAfter('SJ-7b', '2026')).toBe('SJ-8b');
    expect(jobNumberAfter('Library', '2026')).toBe('2026-001');
    expect(jobNumberAfter(undefined, '2027')).toBe('2027-001');
  });

  it('is one that no other job has, whichever was changed last', () => {
    const others = ['2026-118', 'AB 300', '2026-121', '2026-97', 'Library'];
    expect(jobNumberAfter('2026-118', '2026', others)).toBe('2026-122');
    expect(jobNumberAfter('Library', '2026', others)).toBe('2026-122');
    expect(jobNumberAfter('ab 099', '2026', others)).toBe('ab 301');
    expect(jobNumberStart('2026-118', '2027')).toBe('2026-');
    expect(jobNumberStart('Library', '2027')).toBe('2027-');
  });

  it('goes with a name from the file', () => {
    expect(jobNameFromFile('van_left  v2.PDF')).toBe('van left v2');
    expect(jobNameFromFile('.pdf')).toBe('Artwork');
  });
});
