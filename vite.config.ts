import { availableParallelism } from 'node:os';
import preact from '@preact/preset-vite';
import { defineConfig } from 'vitest/config';
import { licensesPlugin } from './.ci/package-licenses.ts';

const SERIES = 'test/**/*.series.test.ts';
/** Pure code and the screens' own logic: these leave nothing behind, so that their files can share a process. */
const UNIT = ['test/core/**/*.test.ts', 'test/renderer/**/*.test.ts'];
/** What changes its process for good, a version of it or the modules that it has loaded, or counts all that it does. */
const ALONE = [
  'test/main/cut/panel-files.test.ts',
  'test/main/tasks/kept-scan.test.ts',
  'test/main/tasks/own-process.test.ts',
];
const HOUR_MS = 3_600_000;

/** Builds the screens; the tests share this file because Vitest reads it too, with what is to be run as its mode. */
export default defineConfig(({ mode }) => {
  const isLong = mode === 'long';
  const isUnit = mode === 'unit';
  return {
    root: 'renderer',
    base: './',
    plugins: [preact({ devToolsEnabled: false }), licensesPlugin(import.meta.dirname)],
    build: {
      outDir: '../dist/screens',
      emptyOutDir: true,
      target: 'chrome140',
      // Inlined files would need data: in the content security policy.
      assetsInlineLimit: 0,
      modulePreload: { polyfill: false },
    },
    test: {
      root: '.',
      reporters: ['default', './test/support/reporter.ts'],
      // Most take less than a second; the longest do what takes a person minutes, beside two others on two cores.
      testTimeout: isLong ? HOUR_MS : 120_000,
      hookTimeout: 180_000,
      setupFiles: ['./test/support/property-seed.ts', ...(isUnit ? ['./test/support/no-programs.ts'] : [])],
      pool: 'forks',
      // One more than cores: many tests wait for a browser or another program.
      maxWorkers: availableParallelism() + 1,
      tags: [{ name: 'outside', description: 'needs a program that npm cannot bring' }],
      env: {
        ...(isLong && { PANELWRIGHT_LONG: 'true' }),
        // Processes and threads that tests start need not compile again what another one has compiled.
        NODE_COMPILE_CACHE: 'node_modules/.cache/panelwright/compiled',
      },
      projects: isLong
        ? [{ extends: true, test: { name: 'long', include: [SERIES] } }]
        : [
            {
              extends: true,
              test: { name: 'unit', include: UNIT, exclude: isUnit ? [SERIES] : [], isolate: false },
            },
            // Loading the program and starting what it draws with takes longer than most files: they share that too.
            {
              extends: true,
              test: {
                name: 'house',
                include: ['test/**/*.test.ts'],
                exclude: [...UNIT, ...ALONE],
                isolate: false,
              },
            },
            { extends: true, test: { name: 'alone', include: ALONE } },
          ],
    },
  };
});
