import preact from '@preact/preset-vite';
import { defineConfig } from 'vitest/config';

/** Builds the screens; the tests share this file because Vitest reads it too. */
export default defineConfig({
  root: 'renderer',
  base: './',
  plugins: [preact({ devToolsEnabled: false })],
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
    include: ['test/**/*.test.ts', 'test/**/*.test.tsx'],
    reporters: ['default', './test/support/reporter.ts'],
    testTimeout: 60_000,
    hookTimeout: 120_000,
    setupFiles: ['./test/support/property-seed.ts'],
    pool: 'forks',
  },
});
