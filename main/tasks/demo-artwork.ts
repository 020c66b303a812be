import { demoArtBookmobile, demoArtTrailer } from '../../assets/demo/make-art.ts';
import type { DemoName } from '../job/demo-jobs.ts';

/** The artwork of a demo vehicle as PDF, drawn in some seconds. */
export const demoArtwork = (name: DemoName): Promise<Uint8Array> => DRAWN[name]();

const DRAWN: Readonly<Record<DemoName, () => Promise<Uint8Array>>> = {
  bookmobile: demoArtBookmobile,
  trailer: demoArtTrailer,
};
