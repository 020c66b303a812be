import { execFile } from 'node:child_process';
import { join, resolve } from 'node:path';
import { promisify } from 'node:util';
import { keptFixture } from './kept-fixture.ts';

const ROOT = resolve(import.meta.dirname, '../..');
const SOURCES = [
  'core',
  'main',
  'renderer',
  'assets',
  '.ci/build.ts',
  '.ci/bundle-programs.ts',
  '.ci/software-bill.ts',
];
const SETTINGS = ['package.json', 'tsconfig.json', 'vite.config.ts'];

/** The program as `npm run build` makes it; takes some seconds once for all test files. */
export async function builtProgram(): Promise<string> {
  const folder = await keptFixture('program', [...SOURCES, ...SETTINGS], async (making) => {
    // Outside the process of the test: the bundler is native code.
    await promisify(execFile)(process.execPath, [join(ROOT, '.ci/build.ts'), join(making, 'dist')], {
      cwd: ROOT,
      env: { ...process.env, NODE_ENV: 'production' },
    });
  });
  return join(folder, 'dist');
}
