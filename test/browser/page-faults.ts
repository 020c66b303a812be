/** What a person would call wrong on a screen, found by program: text cut off, controls that lie under others or are too small. */
import { fileURLToPath } from 'node:url';
import type { Page } from 'playwright-core';

const SCRIPT = fileURLToPath(new URL('./page-faults.page.js', import.meta.url));

/** Of WCAG 2.2, success criterion 2.5.8: a smaller target must keep this distance from others. */
const LEAST_TARGET_PX = 24;

/** One line for each fault of the present page, with the element that has it; the window needs `bypassCSP`. */
export async function pageFaults(page: Page): Promise<readonly string[]> {
  if (!(await page.evaluate('"pageFaults" in window'))) await page.addScriptTag({ path: SCRIPT });
  return await page.evaluate<readonly string[]>(`pageFaults(${LEAST_TARGET_PX})`);
}
