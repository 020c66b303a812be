import { existsSync, mkdtempSync, rmSync, utimesSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout } from 'node:timers/promises';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { lockedBy } from '../../../main/files/folder-lock.ts';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-lock-'));
});
afterEach(() => rmSync(folder, { recursive: true }));

/** A lock of another machine, last renewed this many minutes ago. */
function lockElsewhere(minutes: number): string {
  const path = join(folder, '.watching');
  writeFileSync(path, 'ffffff-4711-0123456789ab');
  const at = new Date(Date.now() - minutes * 60_000);
  utimesSync(path, at, at);
  return path;
}

it('a lock of another machine holds while it is shown, and has ended a quarter of an hour later', async () => {
  const held = lockElsewhere(14);
  const waiting = new AbortController();
  const refused = lockedBy(held, waiting.signal, async () => 'taken');
  // As long as it looks twice.
  await setTimeout(120);
  waiting.abort();
  await expect(refused).rejects.toThrow(/abort/i);
  expect(existsSync(held)).toBe(true);
  const path = lockElsewhere(16);
  expect(await lockedBy(path, new AbortController().signal, async () => 'taken')).toBe('taken');
  expect(existsSync(path)).toBe(false);
});
