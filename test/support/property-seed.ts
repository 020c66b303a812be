/**
 * Property tests draw the same cases each time, so that what passed once passes wherever nothing has changed.
 * PANELWRIGHT_SEED, a whole number, draws others.
 */
import fc from 'fast-check';
import { seriesSeed } from './series.ts';

fc.configureGlobal({ ...fc.readConfigureGlobal(), seed: seriesSeed() });
