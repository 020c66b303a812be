/**
 * Property tests draw the same cases each time, so that what passed once passes wherever nothing has changed.
 * PANELWRIGHT_SEED, a whole number, draws others.
 */
import fc from 'fast-check';

const DEFAULT_SEED = 7204;

fc.configureGlobal({
  ...fc.readConfigureGlobal(),
  seed: Number(process.env.PANELWRIGHT_SEED ?? DEFAULT_SEED),
});
