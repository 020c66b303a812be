/**
 * File names that every system takes: letters, digits, dot, dash and underscore. Other characters become a dash; names
 * that Windows keeps for devices get an underscore in front. Where characters are replaced, or the text ends like a
 * check code, a check code of the whole text is appended, so that different texts have different names.
 */
const RESERVED = /^(con|prn|aux|nul|com\d|lpt\d)$/i;
const MAX_STEM = 60;
const CODE_DIGITS = 12;
const CODE_AT_END = new RegExp(`-[0-9a-f]{${CODE_DIGITS}}$`);

export function fileNameStem(text: string): string {
  const plain = plainStem(text);
  if (plain === text && !CODE_AT_END.test(text)) return RESERVED.test(text) ? `_${text}` : text;
  const short = plain.slice(0, MAX_STEM - CODE_DIGITS - 1).replace(/[-.]+$/, '');
  return `${short || 'job'}-${checkCode(text)}`;
}

const plainStem = (text: string): string =>
  text
    .normalize('NFKD')
    .replaceAll(/\p{M}/gu, '')
    .replaceAll(/[^A-Za-z0-9._-]+/g, '-')
    .replaceAll(/^[-._]+|[-.]+$/g, '')
    .slice(0, MAX_STEM)
    .replace(/[-.]+$/, '');

/** FNV-1a of 64 bits over the text's UTF-16 units, the last 48 of them. */
function checkCode(text: string): string {
  let hash = 0xcbf29ce484222325n;
  for (let at = 0; at < text.length; at++) {
    const unit = text.charCodeAt(at);
    for (const byte of [unit & 0xff, unit >> 8]) {
      hash = BigInt.asUintN(64, (hash ^ BigInt(byte)) * 0x100000001b3n);
    }
  }
  return hash.toString(16).padStart(16, '0').slice(-CODE_DIGITS);
}

/** `BM-2026_roll-1_strip-02.pdf`, or `BM-2026_roll-1_strip-02_enlarge-x4.pdf` where production must enlarge. */
export const stripFileName = (jobNumber: string, roll: number, strip: number, enlargeBy: number): string =>
  panelFileName(jobNumber, `roll-${roll}_strip-${String(strip).padStart(2, '0')}`, enlargeBy);

/** `BM-2026_00-COLOR-STRIP-LH-03.pdf`: sorted before all panels, because it is printed first. */
export const colorStripFileName = (jobNumber: string, label: string, enlargeBy: number): string =>
  panelFileName(jobNumber, `00-COLOR-STRIP-${label}`, enlargeBy);

/** `BM-2026_LH-03.pdf`, or `BM-2026_LH-03_enlarge-x4.pdf` where production must enlarge. */
export function panelFileName(jobNumber: string, label: string, enlargeBy: number): string {
  const factor = enlargeBy === 1 ? '' : `_enlarge-x${enlargeBy}`;
  return `${fileNameStem(jobNumber)}_${label.replaceAll(' ', '-')}${factor}.pdf`;
}
