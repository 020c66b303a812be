/** Files made to harm, and files that once did: each gives panels or one clear problem, in bounded time and memory. */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { inflateSync } from 'node:zlib';
import { afterAll, describe, expect, it } from 'vitest';
import { isLong } from '../support/series.ts';
import { deflatedRepeat, HOSTILE_PAGES, LONG_PAGES } from './hostile-pages.ts';
import { CELL_LIMITS, LockedCell } from './locked-cell.ts';

const cell = new LockedCell();
const patientCell = new LockedCell({ ...CELL_LIMITS, cpuMs: 120_000 });
afterAll(async () => {
  await cell.close();
  await patientCell.close();
});

/** What some of them have to be called. */
const CALLED: Readonly<Record<string, string>> = {
  'zeros packed three times over': 'pdf-too-large',
  'LZW of ever longer strings': 'pdf-too-large',
  'a thousand filters': 'pdf-too-large',
  'text of ten million letters': 'pdf-too-large',
  'arrays nested a hundred thousand deep': 'pdf-nested-too-deep',
  'a reference that leads to itself': 'pdf-damaged',
  'a page of no size': 'page-box-empty',
  'encryption of unknown kinds': 'pdf-encryption-unknown',
  nothing: 'pdf-not-a-pdf',
};

describe('a file that was made to harm', () => {
  const moments = Object.entries(HOSTILE_PAGES).filter(([name]) => !LONG_PAGES.has(name));
  it.each(moments)('%s', async (name, build) => {
    const code = CALLED[name];
    expect(await cell.run(build())).toMatchObject({
      kind: 'sound',
      ...(code !== undefined && { outcome: { problems: expect.arrayContaining([code]) } }),
    });
  });

  it('has the names by which some are called, and holds the zeros that it says', () => {
    expect(Object.keys(HOSTILE_PAGES)).toEqual(expect.arrayContaining(Object.keys(CALLED)));
    for (const n of [3, 3 * 2 ** 20, 5_000_001])
      expect(inflateSync(deflatedRepeat(0x20, n)).equals(Buffer.alloc(n, 0x20))).toBe(true);
  });

  // Each walk over such a page takes up to its limit.
  it.runIf(isLong).each([...LONG_PAGES])(
    '%s',
    async (name) => {
      const result = await patientCell.run(HOSTILE_PAGES[name]!());
      expect(result).toMatchObject({
        kind: 'sound',
        outcome: { problems: expect.arrayContaining(['pdf-too-large']) },
      });
    },
    300_000,
  );
});

describe('a file that the fuzzer found', () => {
  const folder = join(import.meta.dirname, 'regressions');
  const files = readdirSync(folder).filter((name) => name.endsWith('.pdf'));
  it.each(files)('%s', async (name) => {
    expect(await cell.run(readFileSync(join(folder, name)))).toMatchObject({ kind: 'sound' });
  });
});

describe('the cell itself', () => {
  it('reports what goes on too long, and what takes too much', async () => {
    const impatient = new LockedCell({ cpuMs: 200, memoryBytes: CELL_LIMITS.memoryBytes });
    expect(await impatient.run(HOSTILE_PAGES['forms that multiply by ten, twelve times']!())).toMatchObject({
      kind: 'hang',
    });
    const poor = new LockedCell({ cpuMs: 60_000, memoryBytes: 150 * 2 ** 20 });
    const zeros = HOSTILE_PAGES['zeros packed three times over']!();
    expect(await poor.run(zeros)).toMatchObject({ kind: 'memory' });
    await impatient.close();
    await poor.close();
  });
});
