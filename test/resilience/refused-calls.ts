/**
 * Makes one call after another that changes files fail, as a full, read-only or forbidden disk would, where no such disk
 * can be mounted: `node refused-calls.ts <folder> <code> <every>`. Writes a line of JSON for each try.
 */
import fs, { existsSync, mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { syncBuiltinESMExports } from 'node:module';
import { join } from 'node:path';
import { jobToJson } from '../../core/job/job-json.ts';
import { Manifest } from '../../core/output/manifest.ts';
import { openArchive } from '../../main/archive/archive.ts';
import { runCommand } from '../../main/command/program.ts';
import { sha256Hex } from '../../main/files/sha256.ts';
import { smallArtwork, smallJob } from '../support/small-job.ts';

export interface RefusedTry {
  /** Which call was refused, from 1, and its name. */
  readonly call: number;
  readonly name: string;
  readonly exit: number;
  readonly said: string;
  /** An output was written all the same: what was refused only saves work, such as what is remembered of artworks. */
  readonly isWritten: boolean;
  /** Files that lie in the output folder without a manifest that vouches for each of them. */
  readonly half: readonly string[];
  /** What the archive's own check says afterwards; empty where it is sound. */
  readonly trouble: readonly string[];
  /** How the same command ends when nothing is refused any more. */
  readonly exitAfter: number;
}

const CHANGES = ['rename', 'mkdir', 'open', 'copyFile'] as const;
const HANDLE_CHANGES = ['write', 'writev', 'writeFile', 'sync'] as const;
const [folder, code, every] = process.argv.slice(2) as [string, string, string];

let calls = 0;
let refuseAt = 0;
let refused = '';

function refusing<F extends (...args: never[]) => unknown>(
  name: string,
  call: F,
  isChange: (args: unknown[]) => boolean,
): F {
  return function (this: unknown, ...args: Parameters<F>) {
    if (isChange(args) && ++calls === refuseAt) {
      refused = name;
      return Promise.reject(Object.assign(new Error(`${code}: refused, ${name}`), { code, syscall: name }));
    }
    return call.apply(this, args);
  } as F;
}

const always = () => true;
/** Opening to read changes nothing. */
const isWriting = ([, flags]: unknown[]) => typeof flags === 'string' && flags !== 'r';
for (const name of CHANGES) {
  Object.assign(fs.promises, {
    [name]: refusing(name, fs.promises[name], name === 'open' ? isWriting : always),
  });
}
const handle = await fs.promises.open(process.execPath, 'r');
const fileHandle = Object.getPrototypeOf(handle) as fs.promises.FileHandle;
await handle.close();
for (const name of HANDLE_CHANGES) {
  Object.assign(fileHandle, { [name]: refusing(`handle.${name}`, fileHandle[name], always) });
}
syncBuiltinESMExports();

writeFileSync(join(folder, 'art.pdf'), await smallArtwork());
writeFileSync(join(folder, 'job.json'), jobToJson(smallJob()));

for (let call = 1; ; call += Number(every)) {
  const place = join(folder, `${code}-${call}`);
  mkdirSync(place);
  [calls, refuseAt, refused] = [0, call, ''];
  const first = await cut(place);
  refuseAt = 0;
  if (refused === '') break;
  const opened = await openArchive(join(place, 'archive'));
  const report = opened.ok
    ? await opened.value.checks.checkAll({
        signal: new AbortController().signal,
        report: () => undefined,
      })
    : undefined;
  if (opened.ok) await opened.value.close();
  const out = join(place, 'out');
  const half = halfFiles(out);
  const isWritten =
    existsSync(out) &&
    readdirSync(out, { recursive: true }).some((file) => /output-1\/manifest\.json$/.test(`${file}`));
  const after = await cut(place);
  const result: RefusedTry = {
    call,
    name: refused,
    exit: first.exit,
    said: first.said,
    isWritten,
    half,
    trouble: report
      ? [
          ...report.databaseTrouble,
          ...report.absent.map(({ name }) => name),
          ...report.damaged.map(({ name }) => name),
        ]
      : ['the archive does not open'],
    exitAfter: after.exit,
  };
  process.stdout.write(`${JSON.stringify(result)}\n`);
  rmSync(place, { recursive: true });
}

async function cut(place: string): Promise<{ exit: number; said: string }> {
  let said = '';
  const exit = await runCommand(
    [
      ...['--archive', join(place, 'archive'), 'cut', join(folder, 'job.json')],
      ...[
        '--artwork',
        join(folder, 'art.pdf'),
        '--to',
        join(place, 'out'),
        '--sheets',
        'table',
        '--no-verification',
      ],
    ],
    {
      stdout: { write: () => undefined },
      stderr: { write: (text: string) => (said += text) },
      signal: new AbortController().signal,
      now: () => '2026-03-09T10:11:12.000Z',
      locale: 'en-US',
    },
  );
  return { exit, said };
}

function halfFiles(out: string): string[] {
  if (!existsSync(out)) return [];
  const files = readdirSync(out, { recursive: true, encoding: 'utf8', withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map(({ parentPath, name }) => join(parentPath, name).slice(out.length + 1));
  return files.filter((file) => !isVouchedFor(out, file.split('/')));
}

/** Files of an output lie below the folder of their job and its own. */
function isVouchedFor(out: string, [job, output, ...path]: string[]): boolean {
  if (path.length === 0) return false;
  const folder = join(out, job!, output!);
  const manifest = join(folder, 'manifest.json');
  if (!existsSync(manifest)) return false;
  const { files } = Manifest.parse(JSON.parse(readFileSync(manifest, 'utf8')));
  const file = path.join('/');
  const listed = files.find((entry) => entry.file === file);
  return file === 'manifest.json' || listed?.sha256 === sha256Hex(readFileSync(join(folder, file)));
}
