import { readFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import { DEMO_JOBS, type DemoName } from '../../main/job/demo-jobs.ts';

export const demoArtPath = (name: DemoName): string => fileURLToPath(DEMO_JOBS[name].artwork);

/** The PDF of a demo vehicle's artwork. */
export const demoArt = async (name: DemoName): Promise<Uint8Array> =>
  new Uint8Array(await readFile(demoArtPath(name)));
