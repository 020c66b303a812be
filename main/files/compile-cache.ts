import { enableCompileCache } from 'node:module';

/**
 * Caches compiled code for this program and those that it starts; call it before other modules are loaded. A cache
 * folder set in the environment stays in use.
 */
export function keepCompiledCode(): void {
  const { directory } = enableCompileCache();
  if (directory !== undefined) process.env.NODE_COMPILE_CACHE ??= directory;
}
