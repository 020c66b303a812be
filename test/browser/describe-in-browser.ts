import { describeWithTools, type Tool } from '../support/tools.ts';

/** A `describe` for tests that open windows: those of a process share one Chromium and the processes for heavy work. */
export function describeInBrowser(name: string, body: () => void, tools: readonly Tool[] = []): void {
  describeWithTools(['chromium', ...tools], name, body);
}
