/**
 * Fixtures that take seconds to make: made when a test first asks, then kept in a folder under node_modules/.cache, for
 * other test files and later runs too, until one of their sources changes.
 */
import { createHash } from 'node:crypto';
import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
} from 'node:fs';
import { join, relative, resolve } from 'node:path';

const ROOT = resolve(import.meta.dirname, '../..');
const CACHE = join(ROOT, 'node_modules/.cache/panelwright');
const keys = new Map<string, string>();

/**
 * The folder that `make` has filled. `sources` are the files and folders of the repository that it comes from; the
 * packages and Node.js count as well. Test processes that ask at once each make one; the first that is done is kept.
 */
export async function keptFixture(
  name: string,
  sources: readonly string[],
  make: (folder: string) => Promise<void>,
): Promise<string> {
  const kept = join(CACHE, `${name}-${sourcesKey(sources)}`);
  if (existsSync(kept)) return kept;
  mkdirSync(CACHE, { recursive: true });
  const making = mkdtempSync(join(CACHE, 'making-'));
  try {
    await make(making);
    renameSync(making, kept);
  } catch (error) {
    rmSync(making, { recursive: true, force: true });
    if (!existsSync(kept)) throw error;
  }
  for (const other of readdirSync(CACHE)) {
    const isEarlier = other.startsWith(`${name}-`) && join(CACHE, other) !== kept;
    if (isEarlier) rmSync(join(CACHE, other), { recursive: true, force: true });
  }
  return kept;
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
