/**
 * Runs the examples with which files of a building open: what stands behind `// →` is what the line before it gives. All
 * that the file exports is there by name, and `folder`, an empty one; what else an example needs it imports.
 */
import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join, resolve } from 'node:path';
import { describe, expect, test } from 'vitest';

const EXAMPLE = /^ \* ```ts\n([\s\S]*?)^ \* ```$/gm;

/** The lines as the body of a function: imports awaited, and each value compared with the one that is said. */
function statements(lines: readonly string[], folder: string): string {
  return lines
    .join('\n')
    .replaceAll(/^import (\{[^}]*\}) from '(\.[^']*)';$/gm, (_, names: string, path: string) => {
      return `const ${names} = await load(${JSON.stringify(join(folder, path))});`;
    })
    .replaceAll(/^((?:[^\n/]|\/(?!\/))+); \/\/ → (.+)$/gm, (_, value: string, said: string) => {
      return `same(${value}, ${said});`;
    });
}

export function describeExamples(building: 'core' | 'main' | 'renderer', atLeast: number): void {
  const root = resolve(import.meta.dirname, '../..', building);
  const examples = readdirSync(root, { recursive: true, encoding: 'utf8' })
    .filter((name) => /\.tsx?$/.test(name))
    .flatMap((name) =>
      [...readFileSync(join(root, name), 'utf8').matchAll(EXAMPLE)].map(([, text = '']) => ({
        name,
        lines: text.split('\n').map((line) => line.replace(/^ \* ?/, '')),
      })),
    );

  describe('the example of', () => {
    test.each(examples)('$name', async ({ name, lines }) => {
      const path = join(root, name);
      const own: Record<string, unknown> = await import(path);
      let compared = 0;
      const same = (value: unknown, said: unknown) => {
        compared += 1;
        expect(value).toEqual(said);
      };
      const names = ['load', 'same', 'folder', ...Object.keys(own)];
      const text = statements(lines, dirname(path));
      const run = Object.getPrototypeOf(async () => {}).constructor(...names, text);
      const folder = mkdtempSync(join(tmpdir(), 'panelwright-example-'));
      try {
        await run((file: string) => import(file), same, folder, ...Object.values(own));
      } finally {
        rmSync(folder, { recursive: true });
      }
      expect(compared).toBeGreaterThan(0);
    });

    test('each entry file is there', () => {
      expect(examples.length).toBeGreaterThanOrEqual(atLeast);
    });
  });
}
