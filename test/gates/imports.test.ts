import { describe, expect, test } from 'vitest';
import { floorsFromMap, importProblems } from '../../.ci/import-problems.ts';

const MAP = `
| floor | room | what it holds |
| --- | --- | --- |
| 2 | \`core/layout/\` | layouts |
| 1 | \`core/measure/\` | lengths |
| 1 | \`main/files/\` | files |
| 1 | \`renderer/state/\` | state |
`;

const HOUSE: Readonly<Record<string, string>> = {
  'core/layout/panel.ts': `import { z } from 'zod';\nimport type { Mm } from '../measure/units.ts';`,
  'core/measure/units.ts': 'export type Mm = number;',
  'main/files/hash.ts': `import { createHash } from 'node:crypto';`,
  'renderer/state/job.ts': `import type { Panel } from '../../core/layout/panel.ts';`,
};

const problems = (planted: Readonly<Record<string, string>>): string[] =>
  importProblems(new Map(Object.entries({ ...HOUSE, ...planted })), floorsFromMap(MAP));

describe('the floor plan', () => {
  test('has nothing to say about imports that go down', () => {
    expect(problems({})).toEqual([]);
  });

  test.each([
    ['a value', `import { panelRect } from '../layout/panel.ts';`],
    ['a type', `import type { Panel } from '../layout/panel.ts';`],
    ['a type in passing', `export type P = import('../layout/panel.ts').Panel;`],
    ['a module loaded late', `export const late = () => import('../layout/panel.ts');`],
    ['a name passed on', `export * from '../layout/panel.ts';`],
  ])('refuses %s from a higher floor, with the reason', (_what, source) => {
    expect(problems({ 'core/measure/rect.ts': source })).toEqual([
      'core/measure/rect.ts imports core/layout/panel.ts: core/measure/ is on floor 1 and core/layout/ on floor 2; ' +
        'a room builds on lower floors only',
    ]);
  });

  test.each([
    ['core', 'core/measure/rect.ts', `import { hash } from '../../main/files/hash.ts';`],
    ['core, from Node', 'core/measure/rect.ts', `import { join } from 'node:path';`],
    ['the screens', 'renderer/state/route.ts', `import { hash } from '../../main/files/hash.ts';`],
    ['main', 'main/files/screen.ts', `import { job } from '../../renderer/state/job.ts';`],
  ])('keeps %s apart from the other buildings', (_who, file, source) => {
    expect(problems({ [file]: source })).toEqual([expect.stringContaining(`${file} imports `)]);
  });

  test('refuses files of one room that import each other', () => {
    const found = problems({
      'core/measure/a.ts': `import { b } from './b.ts'; export const a = b;`,
      'core/measure/b.ts': `import type { A } from './a.ts'; export const b = 1;`,
    });
    expect(found).toEqual(['These files import each other: core/measure/a.ts → core/measure/b.ts']);
  });

  test('wants every room on the map, and every room of the map in the house', () => {
    expect(problems({ 'core/rolls/nest.ts': '' })).toEqual([
      expect.stringContaining('core/rolls/ is not on the map'),
    ]);
    const without = Object.entries(HOUSE).filter(([file]) => file !== 'main/files/hash.ts');
    expect(importProblems(new Map(without), floorsFromMap(MAP))).toEqual([
      expect.stringContaining('main/files/ is on the map'),
    ]);
  });

  test('refuses the clock and chance in core', () => {
    expect(problems({ 'core/measure/now.ts': 'export const now = () => Date.now();' })).toEqual([
      expect.stringContaining('the clock'),
    ]);
    expect(problems({ 'core/measure/dice.ts': 'export const dice = () => Math.random();' })).toEqual([
      expect.stringContaining('chance'),
    ]);
  });
});
