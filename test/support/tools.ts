import { execFileSync, spawnSync } from 'node:child_process';
import { describe } from 'vitest';

/** Programs that npm cannot bring; `.ci/run` installs them from the system's packages. */
export const TOOLS = {
  chromium: ['--version'],
  pdftoppm: ['-v'],
  pdfimages: ['-v'],
  pdffonts: ['-v'],
  pdfinfo: ['-v'],
  qpdf: ['--version'],
  gs: ['--version'],
  mutool: ['-v'],
  jpegtran: ['-version'],
} as const;

export type Tool = keyof typeof TOOLS;

export function isToolPresent(tool: Tool): boolean {
  return spawnSync(tool, TOOLS[tool], { stdio: 'ignore' }).error === undefined;
}

/**
 * A `describe` that runs only where the tools are present. Where one is absent its tests are reported
 * as skipped by name; with CI=true they run all the same, and so fail, because CI must have the tools.
 */
export function describeWithTools(tools: readonly Tool[], name: string, body: () => void): void {
  const missing = tools.filter((tool) => !isToolPresent(tool));
  if (missing.length === 0 || process.env.CI === 'true') describe(name, body);
  else describe.skip(`${name} [needs ${missing.join(', ')}]`, body);
}

/** Runs a tool and returns what it printed; throws with the tool's own words when it fails. */
export function runTool(tool: Tool, args: readonly string[]): Buffer {
  return execFileSync(tool, args, { maxBuffer: 1 << 30, stdio: ['ignore', 'pipe', 'pipe'] });
}
