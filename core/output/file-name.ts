/**
 * File names that every system takes: letters, digits, dot, dash and underscore. Other characters
 * become a dash; names that Windows keeps for devices get an underscore in front.
 */
const RESERVED = /^(con|prn|aux|nul|com\d|lpt\d)$/i;
const MAX_STEM = 60;

export function fileNameStem(text: string): string {
  const plain = text
    .normalize('NFKD')
    .replaceAll(/\p{M}/gu, '')
    .replaceAll(/[^A-Za-z0-9._-]+/g, '-')
    .replaceAll(/^[-.]+|[-.]+$/g, '')
    .slice(0, MAX_STEM)
    .replace(/[-.]+$/, '');
  if (plain === '') return 'job';
  return RESERVED.test(plain) ? `_${plain}` : plain;
}

/** `BM-2026_roll-1_strip-02.pdf`, or `BM-2026_roll-1_strip-02_enlarge-x4.pdf` where production must enlarge. */
export const stripFileName = (jobNumber: string, roll: number, strip: number, enlargeBy: number): string =>
  panelFileName(jobNumber, `roll-${roll}_strip-${String(strip).padStart(2, '0')}`, enlargeBy);

/** `BM-2026_LH-03.pdf`, or `BM-2026_LH-03_enlarge-x4.pdf` where production must enlarge. */
export function panelFileName(jobNumber: string, label: string, enlargeBy: number): string {
  const factor = enlargeBy === 1 ? '' : `_enlarge-x${enlargeBy}`;
  return `${fileNameStem(jobNumber)}_${label}${factor}.pdf`;
}
