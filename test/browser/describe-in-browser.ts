import { afterAll } from 'vitest';
import { describeWithTools, type Tool } from '../support/tools.ts';
import { closeShared } from './workstation.ts';

/** A `describe` for tests that open windows, all in one Chromium and with the same processes for heavy work. */
export function describeInBrowser(name: string, body: () => void, tools: readonly Tool[] = []): void {
  describeWithTools(['chromium', ...tools], name, () => {
    afterAll(closeShared);
    body();
  });
}
