/** Disks that refuse, by errors put in the way of each call, so that it is tried on machines where nothing can be mounted. */
import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { EXIT } from '../../main/command/exit-code.ts';
import { isLong } from '../support/series.ts';
import type { RefusedTry } from './refused-calls.ts';

let folder: string;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-refused-'));
});
afterAll(() => rmSync(folder, { recursive: true }));

function tried(code: string, every: number): RefusedTry[] {
  const out = execFileSync(
    process.execPath,
    [join(import.meta.dirname, 'refused-calls.ts'), folder, code, String(every)],
    { encoding: 'utf8', maxBuffer: 1 << 26 },
  );
  return out
    .trim()
    .split('\n')
    .map((line) => JSON.parse(line) as RefusedTry);
}

/** For a busy machine; a quiet one takes seconds for the sample. */
const TIME_LIMIT_MS = 3_600_000;

/** What each refusal is called, and how many calls the sample passes over from one try to the next. */
const REFUSALS = [
  ['ENOSPC', 'is full', 9],
  ['EROFS', 'cannot be read or written (EROFS)', 11],
  ['EACCES', 'cannot be read or written (EACCES)', 13],
  ['EIO', 'reported an error', 14],
] as const;

describe('a cut whose disk refuses at some moment', () => {
  it.each(REFUSALS)(
    '%s: says so in one sentence, leaves nothing half, and goes well the next time',
    (code, words, every) => {
      const tries = tried(code, isLong ? 1 : every);
      expect(tries.filter(({ exit }) => exit !== EXIT.done).length).toBeGreaterThan(1);
      for (const { call, name, exit, said, isWritten, half, trouble, exitAfter } of tries) {
        const where = `${code} at call ${call}, ${name}`;
        if (exit === EXIT.done) {
          expect({ isWritten, said }, where).toEqual({ isWritten: true, said: '' });
        } else {
          expect([EXIT.files, EXIT.archive], where).toContain(exit);
          expect(said, where).toContain(words);
          expect(said.trim().split('\n'), where).toHaveLength(1);
          expect(said, where).not.toMatch(/\bat .*\.ts:\d+/);
        }
        expect(half, where).toEqual([]);
        expect(trouble, where).toEqual([]);
        expect(exitAfter, where).toBe(EXIT.done);
      }
    },
    TIME_LIMIT_MS,
  );
});
