/** Codes of drawings read by a decoder that shares no code with the encoder. */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { prepareZXingModule, readBarcodes } from 'zxing-wasm/reader';
import type { Drawing } from '../../../core/drawing/drawing.ts';
import { itemBounds } from '../../support/item-bounds.ts';
import { blurred, rectsRendered } from './raster.ts';

let isReady = false;

async function prepare(): Promise<void> {
  if (isReady) return;
  isReady = true;
  const folder = join(import.meta.dirname, '../../../node_modules/zxing-wasm/dist/reader');
  const wasmBinary = readFileSync(join(folder, 'zxing_reader.wasm'));
  await prepareZXingModule({
    overrides: { wasmBinary: wasmBinary.buffer as ArrayBuffer },
    fireImmediately: true,
  });
}

/** What the codes of a drawing say, in their order; black and white at 200 ppi, blurred as by a phone held badly. */
export async function decodedCodes(drawing: Drawing): Promise<string[]> {
  await prepare();
  const found: string[] = [];
  for (const item of drawing.items) {
    if (item.kind !== 'rects') continue;
    const box = itemBounds(item);
    const moved = item.rects.map((rect) => ({ ...rect, x: rect.x - box.x + 4, y: rect.y - box.y + 4 }));
    const image = blurred(rectsRendered(moved, box.width + 8, box.height + 8, 200), 1);
    const [read] = await readBarcodes(image, { formats: ['QRCode'] });
    found.push(read?.text ?? 'not readable');
  }
  return found;
}
