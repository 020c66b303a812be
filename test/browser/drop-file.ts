import type { Page } from 'playwright-core';

export async function dropFile(page: Page, selector: string, name: string, bytes: Uint8Array): Promise<void> {
  await dropFiles(page, selector, { [name]: bytes });
}

/** Drops files on the element at once, as from another program. */
export async function dropFiles(
  page: Page,
  selector: string,
  files: Readonly<Record<string, Uint8Array>>,
): Promise<void> {
  await page.locator(selector).waitFor();
  const given = JSON.stringify(
    Object.entries(files).map(([name, bytes]) => [name, Buffer.from(bytes).toString('base64')]),
  );
  await page.evaluate(`(() => {
    const data = new DataTransfer();
    for (const [name, base64] of ${given}) {
      const bytes = Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0));
      data.items.add(new File([bytes], name, { type: 'application/pdf' }));
    }
    for (const type of ['dragenter', 'dragover', 'drop']) {
      document.querySelector(${JSON.stringify(selector)}).dispatchEvent(
        new DragEvent(type, { dataTransfer: data, bubbles: true, cancelable: true }));
    }
  })()`);
}
