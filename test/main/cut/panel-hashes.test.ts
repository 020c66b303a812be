import { execFile } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { expect, it } from 'vitest';
import { packingCodec } from '../../../main/cut/zlib.ts';

const SUPPORT = join(import.meta.dirname, '../../support');
const HASHES = join(import.meta.dirname, 'panel-hashes.json');
/** PANELWRIGHT_BLESS=panels writes the hashes anew, after a change of what panels are made of. */
const isBlessing = process.env.PANELWRIGHT_BLESS === 'panels';

interface Cut {
  readonly isRuntimesOwnRefused: boolean;
  readonly hashes: Record<string, string>;
}

/** In a process in which, and in whose threads, the zlib of the runtime packs nothing. */
async function cutWithoutNativeDeflate(): Promise<Cut> {
  const { stdout } = await promisify(execFile)(process.execPath, [
    '--import',
    join(SUPPORT, 'no-native-deflate.ts'),
    join(SUPPORT, 'small-panels.ts'),
  ]);
  return JSON.parse(stdout) as Cut;
}

it('CUT19 panels have the same bytes on every machine, and nothing of the runtime packs them', async () => {
  const { isRuntimesOwnRefused, hashes } = await cutWithoutNativeDeflate();
  expect(isRuntimesOwnRefused).toBe(true);
  if (isBlessing) writeFileSync(HASHES, `${JSON.stringify(hashes, undefined, 2)}\n`);
  expect(hashes).toEqual(JSON.parse(readFileSync(HASHES, 'utf8')));
});

it('CUT19 the codec is named as the lock file has it', () => {
  const lock = createRequire(import.meta.url)('../../../package-lock.json') as {
    readonly packages: Readonly<Record<string, { readonly version: string }>>;
  };
  const { name, version } = packingCodec();
  expect(lock.packages[`node_modules/${name}`]?.version).toBe(version);
});
