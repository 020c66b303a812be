import type { Picture } from '../../core/contract/parts.ts';
import { itemAt } from '../../core/measure/present.ts';

/** Gives pages to the system's dialog for printing: nothing of the screen, each page as large as the paper. */
export async function printPages(pages: readonly Picture[]): Promise<void> {
  const box = document.createElement('div');
  box.className = 'print-pages';
  const addresses = pages.map(({ png }) =>
    URL.createObjectURL(new Blob([png as Uint8Array<ArrayBuffer>], { type: 'image/png' })),
  );
  const images = pages.map(({ widthPx, heightPx }, index) => {
    const image = document.createElement('img');
    image.className = widthPx > heightPx ? 'is-landscape' : 'is-portrait';
    image.alt = '';
    image.src = itemAt(addresses, index);
    return image;
  });
  box.append(...images);
  document.body.append(box);
  try {
    await Promise.all(images.map((image) => image.decode()));
    window.print();
  } finally {
    box.remove();
    for (const address of addresses) URL.revokeObjectURL(address);
  }
}
