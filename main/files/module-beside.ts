/**
 * Address of a module beside another one, for threads: `.ts` where the sources run as they are, `.js` where
 * they were bundled for a release.
 */
export function moduleBeside(importMetaUrl: string, path: string): URL {
  return new URL(`${path}${importMetaUrl.endsWith('.ts') ? '.ts' : '.js'}`, importMetaUrl);
}
