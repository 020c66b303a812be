import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, it } from 'vitest';

const HELPER = join(import.meta.dirname, '../../../main/files/compile-cache.ts');
const TOLD = "import('node:module').then(({ getCompileCacheDir }) => console.log(getCompileCacheDir()))";

/** Where a program, a process and a thread that it starts keep what they compiled. */
function foldersOf(env: NodeJS.ProcessEnv): string[] {
  const script = `
    import { execFileSync } from 'node:child_process';
    import { getCompileCacheDir } from 'node:module';
    import { Worker } from 'node:worker_threads';
    const { keepCompiledCode } = await import(${JSON.stringify(HELPER)});
    keepCompiledCode();
    console.log(getCompileCacheDir());
    process.stdout.write(execFileSync(process.execPath, ['-e', ${JSON.stringify(TOLD)}]));
    new Worker(${JSON.stringify(TOLD)}, { eval: true });
  `;
  const told = execFileSync(process.execPath, ['--input-type=module', '-e', script], {
    env,
    encoding: 'utf8',
  });
  return told.trim().split('\n');
}

it('what was compiled is kept in one place for a program and all that it starts', () => {
  const folder = mkdtempSync(join(tmpdir(), 'panelwright-compiled-'));
  try {
    const { NODE_COMPILE_CACHE: _, ...env } = process.env;
    const [own, ...started] = foldersOf({ ...env, TMPDIR: folder, TEMP: folder });
    expect(own).toMatch(/node-compile-cache/);
    expect(started).toEqual([own, own]);
    const [named, ...others] = foldersOf({ ...env, NODE_COMPILE_CACHE: join(folder, 'named') });
    expect(named?.startsWith(join(folder, 'named'))).toBe(true);
    expect(others).toEqual([named, named]);
  } finally {
    rmSync(folder, { recursive: true });
  }
});
