/** Checks that the artwork's layers have the same default state on a panel (ISO 32000-1, 8.11.4.3). */
import { PDFArray, PDFDict } from 'pdf-lib';
import { itemAt } from '../../measure/present.ts';
import { OptionalContent } from '../../pdf/content/optional-content.ts';
import { textOf } from '../../pdf/file/dict-values.ts';
import type { PdfFile } from '../../pdf/file/pdf-file.ts';

interface Layer {
  readonly name: string;
  readonly isOn: boolean;
}

export interface LayerDifference {
  readonly name: string;
  readonly expected: 'on' | 'off';
  readonly found: 'on' | 'off' | 'missing';
}

/**
 * A panel lists the layers of the artwork in order, at least those that it uses, and an additional one for its marks.
 */
export async function layerDifferences(panel: PdfFile, source: PdfFile): Promise<LayerDifference[]> {
  const ours = await layers(panel);
  const differences: LayerDifference[] = [];
  let next = 0;
  for (const layer of await layers(source)) {
    const at = ours.findIndex(({ name }, index) => index >= next && name === layer.name);
    // A layer that is on but not listed still paints; one that is off would appear.
    if (at < 0) {
      if (!layer.isOn) differences.push({ name: layer.name, expected: 'off', found: 'missing' });
      continue;
    }
    next = at + 1;
    const { isOn } = itemAt(ours, at);
    if (isOn !== layer.isOn)
      differences.push({ name: layer.name, expected: stateText(layer.isOn), found: stateText(isOn) });
  }
  return differences;
}

const stateText = (isOn: boolean): 'on' | 'off' => (isOn ? 'on' : 'off');

async function layers(file: PdfFile): Promise<Layer[]> {
  const catalog = await file.catalog();
  const properties = await file.entry(catalog, 'OCProperties');
  const groups = properties instanceof PDFDict ? await file.entry(properties, 'OCGs') : undefined;
  if (!(groups instanceof PDFArray)) return [];
  const state = await OptionalContent.from(catalog, file);
  const found: Layer[] = [];
  for (const item of groups.asArray()) {
    const group = await file.resolved(item);
    if (!(group instanceof PDFDict)) continue;
    found.push({ name: textOf(await file.entry(group, 'Name')) ?? '', isOn: await state.isVisible(item) });
  }
  return found;
}
