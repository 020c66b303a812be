import { execFile } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { expect, it } from 'vitest';
import { packingCodec } from '../../../main/cut/zlib.ts';

const SUPPORT = join(import.meta.dirname, '../../support');
const HASHES = join(import.meta.dirname, 'panel-hashes.json');
/** PANELWRIGHT_BLESS=panels writes new hashes, after a change of what panels are made of. */
const isBlessing = process.env.PANELWRIGHT_BLESS === 'panels';

interface Cut {
  readonly isRuntimesOwnRefused: boolean;
  readonly isMathInexact: boolean;
  readonly hashes: Record<string, string>;
}

/** In a process in which, and in whose threads, the zlib of the runtime packs nothing and its functions are off. */
async function cutWithoutTheRuntimesOwn(): Promise<Cut> {
  const { stdout } = await promisify(execFile)(process.execPath, [
    ...['no-native-deflate.ts', 'inexact-math.ts'].flatMap((file) => ['--import', join(SUPPORT, file)]),
    join(SUPPORT, 'small-panels.ts'),
  ]);
  return JSON.parse(stdout) as Cut;
}

it('panels have the same bytes on every machine, and nothing that differs between runtimes makes them', async () => {
  const { hashes, ...runtime } = await cutWithoutTheRuntimesOwn();
  expect(runtime).toEqual({ isRuntimesOwnRefused: true, isMathInexact: true });
  if (isBlessing) writeFileSync(HASHES, `${JSON.stringify(hashes, undefined, 2)}\n`);
  expect(hashes).toEqual(JSON.parse(readFileSync(HASHES, 'utf8')));
});

it('the codec is named as the lock file has it', () => {
  const lock = createRequire(import.meta.url)('../../../package-lock.json') as {
    readonly packages: Readonly<Record<string, { readonly version: string }>>;
  };
  const { name, version } = packingCodec();
  expect(lock.packages[`node_modules/${name}`]?.version).toBe(version);
});
