/** Programs start quickly and stay small: what does heavy work is loaded where it is done. */
import { execFile } from 'node:child_process';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { expect, it } from 'vitest';

const root = join(import.meta.dirname, '../..');
const HEAVY = /\/(core\/(pdf|cut|sheets|ink)|main\/(cut|verify|ink)|assets)\/|\/pdf-lib\//;

/** The modules that a program loads when it is started like this. */
async function loadedBy(entry: string, ...args: string[]): Promise<string[]> {
  const script = `
    import { registerHooks } from 'node:module';
    registerHooks({ load: (url, context, next) => (console.error(url), next(url, context)) });
    await import(${JSON.stringify(join(root, entry))});
  `;
  const node = ['--input-type=module', '-e', script, entry, ...args];
  const { stderr } = await promisify(execFile)(process.execPath, node);
  return stderr.trim().split('\n');
}

it('the services load no PDF engine, no sheets and no task', async () => {
  const loaded = await loadedBy('main/services/services.ts');
  expect(loaded.some((url) => url.endsWith('/main/services/write-output.ts'))).toBe(true);
  expect(loaded.filter((url) => HEAVY.test(url) || url.endsWith('/main/tasks/tasks.ts'))).toEqual([]);
});

it('the help of the command line loads no command, no schema and no archive', async () => {
  const loaded = await loadedBy('main/command/main.ts', '--help');
  expect(loaded.some((url) => url.includes('/commander/'))).toBe(true);
  expect(
    loaded.filter((url) => /-commands?\.ts$|\/zod\/|\/main\/(archive\/archive|tasks\/tasks)\.ts$/.test(url)),
  ).toEqual([]);
});
