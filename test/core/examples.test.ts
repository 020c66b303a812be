/**
 * The examples with which files open are run: what stands behind `// →` is what the line before it gives. All that the
 * file exports is there by name; what else an example needs it imports.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import { describe, expect, test } from 'vitest';

const core = resolve(import.meta.dirname, '../../core');
const EXAMPLE = /^ \* ```ts\n([\s\S]*?)^ \* ```$/gm;

const examples = readdirSync(core, { recursive: true, encoding: 'utf8' })
  .filter((name) => name.endsWith('.ts'))
  .flatMap((name) =>
    [...readFileSync(join(core, name), 'utf8').matchAll(EXAMPLE)].map(([, text = '']) => ({
      name,
      lines: text.split('\n').map((line) => line.replace(/^ \* ?/, '')),
    })),
  );

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

describe('the example of', () => {
  test.each(examples)('$name', async ({ name, lines }) => {
    const path = join(core, name);
    const own: Record<string, unknown> = await import(path);
    let compared = 0;
    const same = (value: unknown, said: unknown) => {
      compared += 1;
      expect(value).toEqual(said);
    };
    const run = Object.getPrototypeOf(async () => {}).constructor(
      'load',
      'same',
      ...Object.keys(own),
      statements(lines, dirname(path)),
    );
    await run((file: string) => import(file), same, ...Object.values(own));
    expect(compared).toBeGreaterThan(0);
  });

  test('each entry file is there', () => {
    expect(examples.length).toBeGreaterThanOrEqual(12);
  });
});
