/** What is mutated: pages made here that use every part of the format, and real files where a folder of them is named. */
import { readdirSync, readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { smallArtwork } from '../support/small-job.ts';
import { TRAP_PAGES } from '../support/trap-pages.ts';
import { HOSTILE_PAGES, LONG_PAGES } from './hostile-pages.ts';
import { unpackedPdf } from './mutations.ts';

const MAX_SEED_BYTES = 300_000;

export async function fuzzSeeds(corpusFolder = process.env.PANELWRIGHT_CORPUS): Promise<Uint8Array[]> {
  const small = await smallArtwork(3);
  const made = [
    ...TRAP_PAGES.map(({ pdf }) => pdf),
    small,
    ...encryptedFiles(),
    ...Object.entries(HOSTILE_PAGES).flatMap(([name, build]) => (LONG_PAGES.has(name) ? [] : [build()])),
  ];
  const seeds = [...made, ...corpusFiles(corpusFolder)].filter(
    ({ length }) => length > 0 && length <= MAX_SEED_BYTES,
  );
  return seeds.flatMap((seed) => [seed, unpackedPdf(seed)]);
}

/** Files from disk: encryption draws random keys, and a case must be the same whenever its number is repeated. */
function encryptedFiles(): Uint8Array[] {
  const folder = join(import.meta.dirname, 'encrypted');
  return readdirSync(folder)
    .sort()
    .map((name) => readFileSync(join(folder, name)));
}

function corpusFiles(folder: string | undefined): Uint8Array[] {
  if (folder === undefined) return [];
  return readdirSync(folder, { recursive: true, encoding: 'utf8' })
    .filter((name) => name.endsWith('.pdf'))
    .sort()
    .map((name) => join(folder, name))
    .filter((path) => statSync(path).size <= MAX_SEED_BYTES)
    .map((path) => readFileSync(path));
}
