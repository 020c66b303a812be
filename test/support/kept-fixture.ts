/**
 * Fixtures that take seconds to make: made when a test first asks, then kept in a folder under node_modules/.cache, for
 * other test files and later runs too, until one of their sources changes.
 */
import { createHash } from 'node:crypto';
import {
  existsSync,
  linkSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { basename, join, relative, resolve } from 'node:path';
import { setTimeout } from 'node:timers/promises';

const ROOT = resolve(import.meta.dirname, '../..');
const CACHE = join(ROOT, 'node_modules/.cache/panelwright');
const LOOK_EVERY_MS = 50;
const PATIENCE_MS = 60_000;
const keys = new Map<string, string>();

/**
 * The folder that `make` has filled. `sources` are the files and folders of the repository that it comes from; the
 * packages and Node.js count as well. Where another test process makes it at the moment, that one is waited for.
 */
export async function keptFixture(
  name: string,
  sources: readonly string[],
  make: (folder: string) => Promise<void>,
): Promise<string> {
  const kept = join(CACHE, `${name}-${sourcesKey(sources)}`);
  mkdirSync(CACHE, { recursive: true });
  const maker = join(CACHE, `maker-of-${basename(kept)}`);
  while (!existsSync(kept)) {
    if (!isOwnTurn(maker)) {
      await setTimeout(LOOK_EVERY_MS);
      continue;
    }
    const making = mkdtempSync(join(CACHE, 'making-'));
    try {
      await make(making);
      renameSync(making, kept);
    } catch (error) {
      rmSync(making, { recursive: true, force: true });
      if (!existsSync(kept)) throw error;
    } finally {
      rmSync(maker, { force: true });
    }
  }
  for (const other of readdirSync(CACHE)) {
    const isEarlier = other.startsWith(`${name}-`) && join(CACHE, other) !== kept;
    if (isEarlier) rmSync(join(CACHE, other), { recursive: true, force: true });
  }
  return kept;
}

/** Whether no running process makes it; from then on this process does. */
function isOwnTurn(maker: string): boolean {
  const own = `${maker}-${process.pid}`;
  // A link has its content from the first moment.
  writeFileSync(own, `${process.pid}`);
  try {
    linkSync(own, maker);
    return true;
  } catch {
    if (isForsaken(maker)) rmSync(maker, { force: true });
    return false;
  } finally {
    rmSync(own);
  }
}

/** Its process has gone, or takes so long that it may be another one of that number. */
function isForsaken(maker: string): boolean {
  try {
    return (
      !isRunning(Number(readFileSync(maker, 'utf8'))) || Date.now() - statSync(maker).mtimeMs > PATIENCE_MS
    );
  } catch {
    // It has just been done.
    return false;
  }
}

function isRunning(pid: number): boolean {
  try {
    return process.kill(pid, 0);
  } catch {
    return false;
  }
}

function sourcesKey(sources: readonly string[]): string {
  const named = ['package-lock.json', ...sources].join(' ');
  const known = keys.get(named);
  if (known !== undefined) return known;
  const hash = createHash('sha256').update(process.version);
  for (const path of named.split(' ').flatMap((source) => filesBelow(join(ROOT, source)))) {
    hash.update(`\n${relative(ROOT, path)}\n`).update(readFileSync(path));
  }
  const key = hash.digest('hex').slice(0, 16);
  keys.set(named, key);
  return key;
}

function filesBelow(path: string): string[] {
  if (!statSync(path).isDirectory()) return [path];
  return readdirSync(path, { recursive: true, encoding: 'utf8' })
    .sort()
    .map((name) => join(path, name))
    .filter((file) => statSync(file).isFile());
}
