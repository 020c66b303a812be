/**
 * The programs of main/, each bundled into one file that loads what several of them share, and what only some acts need,
 * when it is wanted. Packages stay packages: they bring compiled parts, tables and typefaces that are read as files.
 */
import { globSync, readFileSync } from 'node:fs';
import { join, posix, relative, sep } from 'node:path';
import { build, type Plugin } from 'vite';

const PROGRAMS = ['main/command/main', 'main/desktop/main', 'main/loopback/main'];
/** As far below the output folder as programs are, so that what follows holds wherever a module ends up. */
const SHARED_FOLDER = 'main/shared';

export async function bundlePrograms(root: string, outDir: string): Promise<void> {
  const entries = [...PROGRAMS, ...threadModules(root)];
  await build({
    configFile: false,
    root,
    logLevel: 'warn',
    plugins: [modulesKeepAddresses(root)],
    build: {
      ssr: true,
      target: 'node24',
      outDir,
      emptyOutDir: false,
      minify: false,
      rolldownOptions: {
        input: Object.fromEntries(entries.map((entry) => [entry, join(root, `${entry}.ts`)])),
        external: ['electron'],
        output: { entryFileNames: '[name].js', chunkFileNames: `${SHARED_FOLDER}/[name]-[hash].js` },
      },
    },
  });
}

/** Modules that run as threads or processes of their own: they are started by address, not imported. */
function threadModules(root: string): string[] {
  return globSync('main/**/*.ts', { cwd: root }).flatMap((file) =>
    [...readFileSync(join(root, file), 'utf8').matchAll(/moduleBeside\(import\.meta\.url, '(.+?)'\)/g)].map(
      ([, path = '']) => posix.join(posix.dirname(file.split(sep).join('/')), path),
    ),
  );
}

/** Modules find files beside them by their own address: in a bundle each goes by the one that it would have alone. */
function modulesKeepAddresses(root: string): Plugin {
  return {
    name: 'modules-keep-addresses',
    enforce: 'pre',
    transform(code, id) {
      const file = relative(root, id).split(sep).join('/');
      if (!file.startsWith('main/') || !code.includes('import.meta.url')) return undefined;
      const address = `new URL('../../${file.replace(/\.ts$/, '.js')}', import.meta.url).href`;
      return { code: code.replaceAll('import.meta.url', address), map: null };
    },
  };
}
