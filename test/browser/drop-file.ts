import type { Page } from 'playwright-core';

/** Drops a file on the element, as from another program. */
export async function dropFile(page: Page, selector: string, name: string, bytes: Uint8Array): Promise<void> {
  await page.locator(selector).waitFor();
  const base64 = JSON.stringify(Buffer.from(bytes).toString('base64'));
  await page.evaluate(`(() => {
    const bytes = Uint8Array.from(atob(${base64}), (letter) => letter.charCodeAt(0));
    const data = new DataTransfer();
    data.items.add(new File([bytes], ${JSON.stringify(name)}, { type: 'application/pdf' }));
    for (const type of ['dragenter', 'dragover', 'drop']) {
      document.querySelector(${JSON.stringify(selector)}).dispatchEvent(
        new DragEvent(type, { dataTransfer: data, bubbles: true, cancelable: true }));
    }
  })()`);
}
