import { readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { DemoName } from '../../main/job/demo-jobs.ts';
import { demoArtwork } from '../../main/tasks/demo-artwork.ts';
import { keptFixture } from './kept-fixture.ts';

/** The PDF of a demo vehicle's artwork; drawing it takes some seconds. */
export async function demoArtPath(name: DemoName): Promise<string> {
  const folder = await keptFixture(`art-of-${name}`, ['assets/demo'], async (making) =>
    writeFile(join(making, 'artwork.pdf'), await demoArtwork(name)),
  );
  return join(folder, 'artwork.pdf');
}

export const demoArt = async (name: DemoName): Promise<Uint8Array> =>
  new Uint8Array(await readFile(await demoArtPath(name)));
