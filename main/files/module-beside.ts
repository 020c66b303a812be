/**
 * The URL of a module beside another one, for threads: `.ts` where the sources run directly, `.js` in a bundled
 * release.
 */
export function moduleBeside(importMetaUrl: string, path: string): URL {
  return new URL(`${path}${importMetaUrl.endsWith('.ts') ? '.ts' : '.js'}`, importMetaUrl);
}
