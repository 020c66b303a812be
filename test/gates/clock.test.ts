import { readdirSync, readFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { expect, it } from 'vitest';

const TESTS = resolve(import.meta.dirname, '..');

it('no test measures or waits by the clock', () => {
  const clock =
    /performance\.now\(|process\.hrtime|waitForTimeout\(|new Promise\([^;]*setTimeout\([^;]*, *[\d_]{2,}\)/;
  const found = readdirSync(TESTS, { recursive: true, encoding: 'utf8' })
    .filter((name) => name.endsWith('.test.ts') && name !== join('gates', 'clock.test.ts'))
    .filter((name) => clock.test(readFileSync(join(TESTS, name), 'utf8')));
  expect(found).toEqual([]);
});
