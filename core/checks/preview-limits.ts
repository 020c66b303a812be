/**
 * Where the preview differs from the print, page by page, according to the page's contents. The preview draws in RGB,
 * without press profile and overprint; pages that this does not affect have no limits.
 */

import { listText } from '../measure/list-text.ts';
import { isDrawnReduced, REDUCED_PX } from '../preview/coarse-picture.ts';
import type { DocumentScan, PageScan } from './scan/schema.ts';

/** Most names in one sentence; the rest are counted. */
const MAX_NAMES = 4;

export interface PreviewLimit {
  readonly code:
    | 'overprint'
    | 'white-overprint'
    | 'blend'
    | 'spot'
    | 'calculated-blend'
    | 'layer'
    | 'condition'
    | 'reduced';
  readonly text: string;
}

/** Limits of every page of a file that is too large for the preview. */
export function fileLimits(file: { readonly sizeBytes: number }): readonly PreviewLimit[] {
  if (!isDrawnReduced(file)) return [];
  const pixels = REDUCED_PX.toLocaleString('en-GB');
  const text = `The file is too large for the preview: pictures are reduced to about ${pixels} pixels along the page here.`;
  return [{ code: 'reduced', text }];
}

export function previewLimits(
  page: PageScan,
  document: Pick<DocumentScan, 'layers' | 'outputIntents'>,
): readonly PreviewLimit[] {
  return [
    ...overprintLimits(page),
    ...blendLimits(page),
    ...spotLimits(page),
    ...layerLimits(document),
    ...conditionLimits(page, document),
  ];
}

function overprintLimits({ overprint, whiteOverprint }: PageScan): readonly PreviewLimit[] {
  const white = whiteOverprint?.objects ?? 0;
  const others = (overprint?.objects ?? 0) - white;
  const limits: PreviewLimit[] = [];
  if (white > 0) {
    const text = `${counted(white, 'white object')} set to overprint: seen here, gone in print.`;
    limits.push({ code: 'white-overprint', text });
  }
  if (others > 0) {
    const text = `${counted(others, 'object')} set to overprint: drawn here as if they knocked out.`;
    limits.push({ code: 'overprint', text });
  }
  return limits;
}

function blendLimits(page: PageScan): readonly PreviewLimit[] {
  const limits: PreviewLimit[] = [];
  // Where the page says that it blends in RGB, the preview blends the same way.
  if (page.blendModes.length > 0 && !/RGB/.test(page.blendingSpace ?? '')) {
    const objects = page.blendModes.reduce((sum, blend) => sum + blend.objects, 0);
    const modes = named(page.blendModes.map(({ mode }) => mode));
    const text = `${counted(objects, 'object')} blended by ${modes}: mixed in RGB here, in the inks in print.`;
    limits.push({ code: 'blend', text });
  }
  if (page.blendsUncounted > 0) {
    const text = `${counted(page.blendsUncounted, 'gradient')} of calculated colors: may be drawn in others here.`;
    limits.push({ code: 'calculated-blend', text });
  }
  return limits;
}

function spotLimits({ spots }: PageScan): readonly PreviewLimit[] {
  const inks = spots.filter(({ name }) => name !== 'All' && name !== 'None').map(({ name }) => name);
  if (inks.length === 0) return [];
  const one = inks.length === 1;
  const text = `Spot ${one ? 'ink' : 'inks'} ${named(inks)}: shown by ${one ? 'the color that stands in for it' : 'the colors that stand in for them'}.`;
  return [{ code: 'spot', text }];
}

function layerLimits({ layers }: Pick<DocumentScan, 'layers'>): readonly PreviewLimit[] {
  const differing = layers.filter(({ isOn, prints }) => prints !== undefined && prints !== isOn);
  if (differing.length === 0) return [];
  const names = named(differing.map(({ name }) => `“${name}”`));
  const text = `${differing.length === 1 ? 'Layer' : 'Layers'} ${names}: set to print otherwise than seen here.`;
  return [{ code: 'layer', text }];
}

function conditionLimits(
  page: PageScan,
  document: Pick<DocumentScan, 'outputIntents'>,
): readonly PreviewLimit[] {
  const intents = page.outputIntents.length > 0 ? page.outputIntents : document.outputIntents;
  const isUsed = page.spaces.some(({ colors }) => colors === 'DeviceCMYK');
  const condition = intents.find(({ profileComponents }) => profileComponents === 4)?.condition;
  if (!isUsed || condition === undefined || condition === '') return [];
  return [{ code: 'condition', text: `CMYK made for ${condition}: shown here without its profile.` }];
}

const counted = (count: number, one: string): string =>
  count === 1 ? `One ${one}` : `${count.toLocaleString('en-GB')} ${one}s`;

function named(names: readonly string[]): string {
  const shown = names.slice(0, MAX_NAMES);
  const rest = names.length - shown.length;
  return rest > 0 ? `${shown.join(', ')} and ${rest} more` : listText(shown);
}
