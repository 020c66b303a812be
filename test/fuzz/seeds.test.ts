/** A case that failed must be the same file when its number is tried again, in another process and on another day. */
import { createHash } from 'node:crypto';
import { expect, it, vi } from 'vitest';
import { caseBytes } from './fuzzing.ts';
import { fuzzSeeds } from './seeds.ts';

const digest = (bytes: Uint8Array): string => createHash('sha256').update(bytes).digest('hex');

it('the seeds of the fuzzer hold nothing of the clock, nor of chance', async () => {
  const first = await fuzzSeeds();
  vi.useFakeTimers({ now: new Date('2031-04-17T18:19:20Z'), toFake: ['Date'] });
  try {
    const later = await fuzzSeeds();
    expect(later.map(digest)).toEqual(first.map(digest));
    expect(digest(caseBytes(later, 417, 29))).toBe(digest(caseBytes(first, 417, 29)));
  } finally {
    vi.useRealTimers();
  }
});
