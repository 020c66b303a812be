import { enableCompileCache } from 'node:module';

/**
 * What was compiled once need not be again, by this program or by what it starts: to be called before other modules are
 * loaded. A folder that the environment names stays.
 */
export function keepCompiledCode(): void {
  const { directory } = enableCompileCache();
  if (directory !== undefined) process.env.NODE_COMPILE_CACHE ??= directory;
}
