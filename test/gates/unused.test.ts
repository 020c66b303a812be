import { execFileSync } from 'node:child_process';
import { cpSync, mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join, resolve } from 'node:path';
import { afterAll, describe, expect, test } from 'vitest';

const ROOT = resolve(import.meta.dirname, '../..');
const folder = mkdtempSync(join(tmpdir(), 'unused-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const HOUSE: Readonly<Record<string, string>> = {
  'package.json': JSON.stringify({
    name: 'house',
    type: 'module',
    scripts: { start: 'node main/command/main.ts', test: 'vitest run' },
    dependencies: { zod: '*' },
    devDependencies: { vitest: '*' },
  }),
  'vite.config.ts': `import { defineConfig } from 'vitest/config';\nexport default defineConfig({});\n`,
  'main/command/main.ts': `import { z } from 'zod';\nimport { panelRect } from '../../core/layout/panel.ts';\nconsole.log(z, panelRect());\n`,
  'core/layout/panel.ts': 'export const panelRect = (): number => 1;\n',
  'test/core/layout/panel.test.ts': `import { test } from 'vitest';\nimport { panelRect } from '../../../core/layout/panel.ts';\ntest('panel', () => void panelRect());\n`,
};

/** What the gate says of a small house with something planted in it, by the project's own settings. */
function gateReport(planted: Readonly<Record<string, string>>): string {
  const house = mkdtempSync(join(folder, 'house-'));
  for (const [file, text] of Object.entries({ ...HOUSE, ...planted })) {
    mkdirSync(dirname(join(house, file)), { recursive: true });
    writeFileSync(join(house, file), text);
  }
  cpSync(join(ROOT, 'knip.json'), join(house, 'knip.json'));
  symlinkSync(join(ROOT, 'node_modules'), join(house, 'node_modules'));
  const knip = join(ROOT, 'node_modules/knip/bin/knip.js');
  return [['--production'], []]
    .map((mode) => {
      try {
        return execFileSync(process.execPath, [knip, '--no-config-hints', ...mode], {
          cwd: house,
          encoding: 'utf8',
        });
      } catch (error) {
        return (error as { stdout: string }).stdout;
      }
    })
    .join('');
}

describe('what nobody uses', () => {
  test('is not found where everything is used', () => {
    expect(gateReport({})).toBe('');
  });

  test('is found: an export, a type, an export and a file that only a test uses, a dependency', () => {
    const report = gateReport({
      'core/layout/panel.ts': `${HOUSE['core/layout/panel.ts']}export const panelArea = (): number => 2;\nexport interface PanelName {\n  readonly name: string;\n}\nexport const panelWidth = (): number => 3;\n`,
      'core/layout/fold.ts': 'export const fold = (): number => 4;\n',
      'test/core/layout/fold.test.ts': `import { test } from 'vitest';\nimport { fold } from '../../../core/layout/fold.ts';\nimport { panelWidth } from '../../../core/layout/panel.ts';\ntest('fold', () => void fold() + panelWidth());\n`,
      'package.json': HOUSE['package.json']!.replace('"zod":"*"', '"zod":"*","yazl":"*"'),
    });
    expect(report).toMatch(/Unused files.*\ncore\/layout\/fold\.ts/);
    expect(report).toMatch(/^panelArea /m);
    expect(report).toMatch(/^panelWidth /m);
    expect(report).toMatch(/^PanelName /m);
    expect(report).toMatch(/Unused dependencies.*\nyazl /);
  });
});
