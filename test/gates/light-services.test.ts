/** Programs start quickly and stay small: what does heavy work is loaded where it is done. */
import { execFile } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { expect, it } from 'vitest';
import { screensBuilt } from '../browser/workstation.ts';

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
  // What it loaded is said before it ends, well or not.
  const { stderr } = await promisify(execFile)(process.execPath, node).catch(
    (ended: { stderr: string }) => ended,
  );
  return stderr.trim().split('\n');
}

it('the services load no PDF engine, no sheets and no task', async () => {
  const loaded = await loadedBy('main/services/services.ts');
  expect(loaded.some((url) => url.endsWith('/main/services/write-output.ts'))).toBe(true);
  expect(loaded.filter((url) => HEAVY.test(url) || url.endsWith('/main/tasks/tasks.ts'))).toEqual([]);
});

it('a list of jobs loads no schema, no service and no task', async () => {
  const archive = mkdtempSync(join(tmpdir(), 'panelwright-light-'));
  try {
    for (const asked of [['jobs'], ['history', 'none']]) {
      const loaded = await loadedBy('main/command/main.ts', '--archive', archive, ...asked);
      expect(loaded.some((url) => url.endsWith('/main/archive/archive.ts'))).toBe(true);
      expect(loaded.filter((url) => /\/zod\/|\/core\/job\/schema\.ts$|\/main\/services\//.test(url))).toEqual(
        [],
      );
    }
  } finally {
    rmSync(archive, { recursive: true });
  }
});

it('the help of the command line loads no command, no schema and no archive', async () => {
  const loaded = await loadedBy('main/command/main.ts', '--help');
  expect(loaded.some((url) => url.includes('/commander/'))).toBe(true);
  expect(
    loaded.filter((url) => /-commands?\.ts$|\/zod\/|\/main\/(archive\/archive|tasks\/tasks)\.ts$/.test(url)),
  ).toEqual([]);
});

it('the screens load no PDF engine', async () => {
  const assets = join(await screensBuilt(), 'assets');
  const scripts = readdirSync(assets).filter((name) => name.endsWith('.js'));
  expect(scripts.length).toBeGreaterThan(0);
  // Words that a program that reads or writes PDF cannot do without.
  for (const name of scripts)
    expect(readFileSync(join(assets, name), 'utf8'), name).not.toMatch(/endstream|FlateDecode/);
});
