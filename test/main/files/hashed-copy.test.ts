import { randomBytes } from 'node:crypto';
import { chmodSync, mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { copyHashed } from '../../../main/files/hashed-copy.ts';
import { sha256Hex } from '../../../main/files/sha256.ts';

let folder: string;
const at = (name: string) => join(folder, name);

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-copy-'));
});
afterEach(() => rmSync(folder, { recursive: true }));

it.each([0, 1, 1 << 20, (3 << 20) + 17])('a file of %i bytes is copied and hashed as it is', async (size) => {
  const bytes = randomBytes(size);
  writeFileSync(at('art.pdf'), bytes);
  chmodSync(at('art.pdf'), 0o444);
  const seen: number[] = [];
  const copied = await copyHashed(at('art.pdf'), at('copy'), { onShare: (share) => seen.push(share) });
  expect(copied).toEqual({ sha256: sha256Hex(bytes), sizeBytes: size });
  expect(readFileSync(at('copy')).equals(bytes)).toBe(true);
  expect(statSync(at('copy')).mode & 0o777).toBe(0o600);
  expect(seen.at(-1)).toBe(size === 0 ? undefined : 1);
});

it('a file that is there already is not written over', async () => {
  writeFileSync(at('art.pdf'), 'new');
  writeFileSync(at('copy'), 'old');
  await expect(copyHashed(at('art.pdf'), at('copy'))).rejects.toMatchObject({ code: 'EEXIST' });
  expect(readFileSync(at('copy'), 'utf8')).toBe('old');
});

it('a source that is not there is named', async () => {
  await expect(copyHashed(at('none.pdf'), at('copy'))).rejects.toMatchObject({
    code: 'ENOENT',
    path: at('none.pdf'),
  });
});

it('a copy that is called off ends within a piece', async () => {
  writeFileSync(at('art.pdf'), Buffer.alloc(6 << 20));
  const abort = new AbortController();
  const seen: number[] = [];
  const onShare = (share: number) => {
    seen.push(share);
    abort.abort();
  };
  await expect(copyHashed(at('art.pdf'), at('copy'), { signal: abort.signal, onShare })).rejects.toThrow();
  expect(seen).toEqual([1 / 6]);
});
