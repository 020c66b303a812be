import { type Finding, finding, withFigure } from '../../findings/finding.ts';
import { listText } from '../../measure/list-text.ts';
import type { PageCheck } from '../check-context.ts';
import { placeOnPage } from '../check-context.ts';
import type { ScannedLayer } from '../scan/schema.ts';

/** Layers that do not print, or whose printing differs from what the screen shows. Keeps AC9. */
export function layerFindings(checks: readonly PageCheck[]): Finding[] {
  const [first] = checks;
  if (first === undefined) return [];
  const { layers } = first.scan.document;
  const hidden = checks.flatMap((check) => hiddenFindings(check, layers));
  return [...printStateFindings(layers), ...(hidden.length > 0 ? hidden : layerFinding(layers))];
}

/** One finding if all layers print, on the pages in use. */
function layerFinding(layers: readonly ScannedLayer[]): Finding[] {
  if (layers.length === 0) return [];
  return [
    finding(
      'layers',
      'note',
      {},
      `The artwork has ${layers.length === 1 ? 'one layer' : `${layers.length} layers`}, and nothing on its pages is hidden: ${layersText(layers)}.`,
      'Check that no template of the vehicle shows.',
    ),
  ];
}

function hiddenFindings(check: PageCheck, layers: readonly ScannedLayer[]): Finding[] {
  const { page } = check;
  if (page.hidden === undefined) return [];
  const off = layers.filter(({ isOn }) => !isOn);
  const objects = page.hidden.objects === 1 ? 'one object' : `${page.hidden.objects} objects`;
  const which = off.length === 0 ? '' : `: ${layersText(off)}`;
  return [
    finding(
      'layer-off',
      'note',
      placeOnPage(check, page.hidden),
      `Page ${page.number} holds ${objects} on layers that are off and will not print${which}.`,
      'Check that these layers hold only what is not to be printed, such as a template of the vehicle.',
    ),
  ];
}

/** The usage of a layer may set printing apart from viewing; not every RIP follows it. */
function printStateFindings(layers: readonly ScannedLayer[]): Finding[] {
  const torn = layers.filter(({ isOn, prints }) => prints !== undefined && prints !== isOn);
  if (torn.length === 0) return [];
  return [
    withFigure(
      torn.length,
      finding(
        'layer-print-state',
        'warn',
        {},
        `The file marks layers to print otherwise than they show: ${layersText(torn)}.`,
        'Ask for a PDF without layers, or check on the customer proof that what shows is what prints.',
      ),
    ),
  ];
}

const MAX_NAMES = 6;

function layersText(layers: readonly ScannedLayer[]): string {
  const names = layers.slice(0, MAX_NAMES).map(({ name }) => `“${name}”`);
  return listText(layers.length > MAX_NAMES ? [...names, `${layers.length - MAX_NAMES} more`] : names);
}
