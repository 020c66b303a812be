/** The sentences of a verification: for each possible fault, what it is and what to do. */
import { storedFromRect } from '../job/stored-rect.ts';
import type { Rect } from '../measure/rect.ts';
import type { VerificationFault, VerificationFaultCode } from './verification-report.ts';

const CUT_AGAIN = 'Cut the panel again, and do not print this file.';

/** The remedy is the same for all faults of a kind. */
const REMEDIES: Readonly<Record<VerificationFaultCode, string>> = {
  'panel-missing': 'Cut the job again; production must not start with a panel missing.',
  'panel-unlisted': 'Move the file away before it is printed by mistake, or cut the job again.',
  'panels-swapped': 'Cut both panels again, and do not print these files.',
  'panel-shifted': CUT_AGAIN,
  'panel-scaled': CUT_AGAIN,
  'panel-mirrored': CUT_AGAIN,
  'picture-differs': 'Look at the picture of the difference; if it is not wanted, cut the panel again.',
  'band-differs': 'Look at both panels along the seam, and cut them again.',
  'area-uncovered': 'Check the seams of the side and that no panel is missing, then cut the job again.',
  'overprint-lost': CUT_AGAIN,
  'color-changed': CUT_AGAIN,
  'transparency-changed': CUT_AGAIN,
  'layer-state-changed': CUT_AGAIN,
  'output-intent-lost': CUT_AGAIN,
  'art-added': CUT_AGAIN,
  'art-lost': CUT_AGAIN,
  'art-changed': CUT_AGAIN,
  'samples-changed': CUT_AGAIN,
  'box-wrong': CUT_AGAIN,
  'contour-wrong': CUT_AGAIN,
  'file-damaged': CUT_AGAIN,
  'file-changed':
    'Find out who changed it, or cut the job again; print only files that the manifest lists as they are.',
  'artwork-changed':
    'Import the artwork again and cut the job from it, or verify against the artwork of the output.',
  'drawn-otherwise': 'The panel is released; look at that place on the first print.',
  'not-drawable': 'Check this panel by eye against the artwork before it is printed.',
};

/** A difference in levels of 8 bits as a share of full tone: `17 %`. */
export function toneText(levels: number): string {
  const percent = (levels / 255) * 100;
  const text = percent > 0 && percent < 0.01 ? 'less than 0.01' : percent.toFixed(percent < 1 ? 2 : 0);
  return `${text} %`;
}

export interface FaultPlace {
  readonly panels: readonly string[];
  readonly sideCode?: string | undefined;
  readonly at?: Rect<'finished'> | undefined;
}

export function verificationFault(
  code: VerificationFaultCode,
  place: FaultPlace,
  message: string,
): VerificationFault {
  return {
    code,
    panels: [...place.panels],
    ...(place.sideCode !== undefined && { sideCode: place.sideCode }),
    ...(place.at && { at: rectRounded(place.at) }),
    message,
    remedy: REMEDIES[code],
  };
}

const rectRounded = (rect: Rect<'finished'>): VerificationFault['at'] => {
  const { xMm, yMm, widthMm, heightMm } = storedFromRect(rect);
  return { xMm: tenth(xMm), yMm: tenth(yMm), widthMm: tenth(widthMm), heightMm: tenth(heightMm) };
};

const tenth = (value: number): number => Math.round(value * 10) / 10;

/** `0.5 mm to the right and 2.0 mm up`; a direction without a shift is left out. */
export function shiftText(dxMm: number, dyMm: number): string {
  const part = (length: number, more: string, less: string): string[] =>
    Math.abs(length) < 0.05 ? [] : [`${Math.abs(length).toFixed(1)} mm ${length > 0 ? more : less}`];
  return [...part(dxMm, 'to the right', 'to the left'), ...part(dyMm, 'down', 'up')].join(' and ');
}

/** `1.2 % too large across and 0.5 % too small down`. */
export function scaleText(scaleX: number, scaleY: number): string {
  const percent = (scale: number): string =>
    `${Math.abs((scale - 1) * 100).toPrecision(2)} % too ${scale > 1 ? 'large' : 'small'}`;
  if (Math.abs(scaleX - scaleY) < 2e-4) return percent((scaleX + scaleY) / 2);
  const part = (scale: number, way: string): string[] =>
    Math.abs(scale - 1) < 1e-4 ? [] : [`${percent(scale)} ${way}`];
  return [...part(scaleX, 'across'), ...part(scaleY, 'down')].join(' and ');
}
