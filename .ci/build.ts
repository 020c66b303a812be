/**
 * Builds what a release carries into dist/, or into the folder named: the screens, the preload as one CommonJS file (a
 * sandboxed preload can be nothing else), the programs and their threads, the demo, and the bill of what is shipped.
 */
import { cpSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { build } from 'vite';
import { bundlePrograms } from './bundle-programs.ts';
import { type LockFile, softwareBill } from './software-bill.ts';

const root = resolve(import.meta.dirname, '..');
const dist = resolve(process.argv[2] ?? join(root, 'dist'));

rmSync(dist, { recursive: true, force: true });
await bundlePrograms(root, dist);
await build({
  configFile: join(root, 'vite.config.ts'),
  logLevel: 'warn',
  build: { outDir: join(dist, 'screens'), emptyOutDir: true },
});
await build({
  configFile: false,
  logLevel: 'warn',
  build: {
    outDir: dist,
    emptyOutDir: false,
    minify: false,
    lib: { entry: join(root, 'main/desktop/preload.ts'), formats: ['cjs'], fileName: () => 'preload.cjs' },
    rolldownOptions: { external: ['electron'] },
  },
});

const { name, productName, version } = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8')) as Record<
  string,
  string
>;
// The programs read their version and their module kind one folder above main/, as the sources do. Electron takes from
// here what it is to be called, and keeps settings under that name.
const program = { name, productName, version, type: 'module', main: 'main/desktop/main.js' };
writeFileSync(join(dist, 'package.json'), `${JSON.stringify(program)}\n`);
const lock = JSON.parse(readFileSync(join(root, 'package-lock.json'), 'utf8')) as LockFile;
writeFileSync(join(dist, 'sbom.cdx.json'), `${JSON.stringify(softwareBill(lock), undefined, 2)}\n`);
cpSync(join(root, 'assets/demo'), join(dist, 'assets/demo'), {
  recursive: true,
  filter: (name) => !name.endsWith('.md'),
});
console.log(`Built ${dist}`);
