/**
 * The desktop program in the real Electron, for machines that have its binary:
 *
 *     node test/runtime/real-electron.ts dist                  # unpackaged, after npm run build
 *     node test/runtime/real-electron.ts /opt/Panelwright/panelwright
 *
 * A packaged program has no debugger for its main process, so nobody can answer its dialogs: it opens, draws and quits
 * here; the unpackaged one writes an output too, whose panels must be those of the command line.
 */
import { execFileSync, spawn } from 'node:child_process';
import { createHash } from 'node:crypto';
import { once } from 'node:events';
import { existsSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { _electron, chromium, type Page } from 'playwright-core';
import { jobToJson } from '../../core/job/job-json.ts';
import { smallBundle } from '../support/job-bundle.ts';
import { smallArtwork, smallJob } from '../support/small-job.ts';

const [given] = process.argv.slice(2) as [string];
const isUnpackaged = given === 'dist';
const place = mkdtempSync(join(tmpdir(), 'panelwright Größe '));
const settings = join(place, 'settings');
const archive = join(place, 'archive');
const env = { ...process.env, PANELWRIGHT_ARCHIVE: archive } as Record<string, string>;
const program = isUnpackaged ? (createRequire(import.meta.url)('electron') as string) : resolve(given);
const args = [...(isUnpackaged ? [resolve('dist')] : []), `--user-data-dir=${settings}`];

interface Running {
  readonly page: Page;
  /** Answers every dialog for a folder; undefined where that is not possible. */
  readonly answerDialogs?: (folder: string) => Promise<void>;
  /** Quits as a person would; resolves to the exit code. */
  quit(): Promise<number | null>;
}

async function startUnpackaged(more: readonly string[]): Promise<Running> {
  const electron = await _electron.launch({ executablePath: program, args: [...args, ...more], env });
  const exited = once(electron.process(), 'exit');
  return {
    page: await electron.firstWindow(),
    answerDialogs: (folder) =>
      electron.evaluate(({ dialog }, filePath) => {
        dialog.showOpenDialog = async () => ({ canceled: false, filePaths: [filePath] });
      }, folder),
    quit: async () => {
      await electron.evaluate(({ app }) => app.quit()).catch(() => undefined);
      return (await exited)[0] as number | null;
    },
  };
}

async function startPackaged(more: readonly string[]): Promise<Running> {
  const child = spawn(program, [...args, '--remote-debugging-port=0', ...more], {
    env,
    stdio: ['ignore', 'inherit', 'pipe'],
  });
  const exited = once(child, 'exit');
  const address = await new Promise<string>((resolve, reject) => {
    let text = '';
    child.stderr.setEncoding('utf8').on('data', (chunk: string) => {
      text += chunk;
      const found = /DevTools listening on (ws:\S+)/.exec(text)?.[1];
      if (found !== undefined) resolve(found);
    });
    child.once('exit', (code) => reject(new Error(`Ended with ${code}:\n${text}`)));
  });
  const browser = await chromium.connectOverCDP(address);
  const [context] = browser.contexts();
  return {
    page: context!.pages()[0] ?? (await context!.waitForEvent('page')),
    quit: async () => {
      if (process.platform === 'win32') execFileSync('taskkill', ['/PID', String(child.pid)]);
      else child.kill('SIGTERM');
      return (await exited)[0] as number | null;
    },
  };
}

const start = isUnpackaged ? startUnpackaged : startPackaged;

/** Asks main as the screens do. */
async function ask<T>(page: Page, verb: string, request: object): Promise<T> {
  const question = `panelwrightDesktop.ask(${JSON.stringify(verb)}, ${JSON.stringify(request)}, () => undefined).answer`;
  const answer = (await page.evaluate(question)) as { ok: boolean; value: T; problem?: object };
  if (!answer.ok) throw new Error(`${verb}: ${JSON.stringify(answer.problem)}`);
  return answer.value;
}

async function onBench(page: Page, number: string): Promise<void> {
  await page.locator('.header-job', { hasText: number }).waitFor();
  await page.locator('.panel').first().waitFor({ state: 'attached' });
}

function check(what: string, isRight: boolean): void {
  if (!isRight) throw new Error(`Not so: ${what}`);
  console.log(`Right: ${what}`);
}

async function quitInOrder(running: Running): Promise<void> {
  const before = Date.now();
  check('it quits with exit code 0', (await running.quit()) === 0);
  check('within ten seconds', Date.now() - before < 10_000);
  check('and remembers its window', existsSync(join(settings, 'window.json')));
  check('and leaves no log of the database', !readdirSync(archive).some((name) => name.endsWith('-wal')));
}

/** SHA-256 of each panel that the command line writes of the same job. */
async function panelsOfCommandLine(): Promise<string[]> {
  const art = join(place, 'art.pdf');
  const job = join(place, 'job.json');
  writeFileSync(art, await smallArtwork());
  writeFileSync(job, jobToJson(smallJob({ id: 'job-one', number: 'ONE-1' })));
  const run = (...words: string[]) =>
    execFileSync(process.execPath, [
      'dist/main/command/main.js',
      '--archive',
      join(place, 'other archive'),
      ...words,
    ]);
  run('import', art, '--job', job, '--box', 'trim');
  run('cut', job, '--to', join(place, 'cut'));
  const panels = join(place, 'cut', 'ONE-1', 'current', 'panels');
  return readdirSync(panels)
    .filter((name) => name.endsWith('.pdf'))
    .map((name) =>
      createHash('sha256')
        .update(readFileSync(join(panels, name)))
        .digest('hex'),
    )
    .toSorted();
}

interface Written {
  readonly verification: { readonly state: string };
  readonly files: readonly { readonly kind: string; readonly sha256: string }[];
}

const bundles = [
  await smallBundle(join(place, 'jobs'), { id: 'job-one', number: 'ONE-1' }),
  await smallBundle(join(place, 'jobs'), { id: 'job-two', number: 'TWO-2' }),
] as const;

const first = await start([bundles[0]]);
await onBench(first.page, 'ONE-1');
check('it opens on a job file', true);
const picture = await ask<{ png: object } | null>(first.page, 'job:thumbnail', { id: 'job-one' });
check('it draws the artwork', picture !== null);
const second = spawn(program, [...args, bundles[1]], { env, stdio: 'inherit' });
check('a second start hands its file over and ends', (await once(second, 'exit'))[0] === 0);
await onBench(first.page, 'TWO-2');
if (first.answerDialogs) {
  mkdirSync(join(place, 'written'));
  await first.answerDialogs(join(place, 'written'));
  const folder = await ask<{ token: string }>(first.page, 'folder:choose', { title: 'Folder' });
  const request = { jobId: 'job-one', folder: folder.token, sheets: [] };
  const { output } = await ask<{ output: Written }>(first.page, 'output:write', request);
  check('an output is verified', output.verification.state === 'verified');
  const panels = output.files.flatMap(({ kind, sha256 }) => (kind === 'panel' ? sha256 : [])).toSorted();
  check('its panels are those of the command line', panels.join() === (await panelsOfCommandLine()).join());
  writeFileSync('panel-hashes.txt', `${panels.join('\n')}\n`);
}
await quitInOrder(first);

const again = await start([]);
await again.page.getByRole('link', { name: 'TWO-2', exact: true }).first().waitFor();
check('a second start shows what the first one kept', true);
await quitInOrder(again);
