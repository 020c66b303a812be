import { execFileSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import { delimiter, join } from 'node:path';
import { describe } from 'vitest';

/** Programs that npm cannot bring; `.ci/run` installs them from the system's packages. */
export type Tool =
  | 'chromium'
  | 'pdftoppm'
  | 'pdfimages'
  | 'pdffonts'
  | 'pdfinfo'
  | 'pdftotext'
  | 'qpdf'
  | 'gs'
  | 'mutool'
  | 'jpegtran';

export const isToolPresent = (tool: Tool): boolean =>
  (process.env.PATH ?? '')
    .split(delimiter)
    .some((folder) => [tool, `${tool}.exe`].some((name) => existsSync(join(folder, name))));

/**
 * A `describe` that runs only where the tools are present. Where one is absent its tests are reported
 * as skipped by name; with CI=true they run all the same, and so fail, because CI must have the tools.
 */
export function describeWithTools(tools: readonly Tool[], name: string, body: () => void): void {
  const missing = tools.filter((tool) => !isToolPresent(tool));
  const options = { tags: ['outside'] };
  if (missing.length === 0 || process.env.CI === 'true') describe(name, options, body);
  else describe.skip(`${name} [needs ${missing.join(', ')}]`, options, body);
}

/** Runs a tool and returns what it printed; throws with the tool's own words when it fails. */
export function runTool(tool: Tool, args: readonly string[]): Buffer {
  return execFileSync(tool, args, { maxBuffer: 1 << 30, stdio: ['ignore', 'pipe', 'pipe'] });
}
