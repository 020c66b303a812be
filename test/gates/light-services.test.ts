/** The program behind the window starts quickly and stays small: what does heavy work is loaded where it is done. */
import { execFile } from 'node:child_process';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { expect, it } from 'vitest';

const root = join(import.meta.dirname, '../..');
const HEAVY = /\/(core\/(pdf|cut|sheets|ink)|main\/(cut|verify|ink)|assets)\/|\/pdf-lib\//;

it('the services load no PDF engine, no sheets and no task', async () => {
  const script = `
    import { registerHooks } from 'node:module';
    registerHooks({ load: (url, context, next) => (console.log(url), next(url, context)) });
    await import(${JSON.stringify(join(root, 'main/services/services.ts'))});
  `;
  const { stdout } = await promisify(execFile)(process.execPath, ['--input-type=module', '-e', script]);
  const loaded = stdout.trim().split('\n');
  expect(loaded.some((url) => url.endsWith('/main/services/write-output.ts'))).toBe(true);
  expect(loaded.filter((url) => HEAVY.test(url) || url.endsWith('/main/tasks/tasks.ts'))).toEqual([]);
});
