/** Loaded first: an import of electron gets the stand-in. */
import { registerHooks } from 'node:module';

registerHooks({
  resolve: (specifier, context, next) =>
    specifier === 'electron'
      ? { url: new URL('./stand-in.ts', import.meta.url).href, shortCircuit: true }
      : next(specifier, context),
});
