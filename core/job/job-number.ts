/**
 * What makes two job numbers one for people: capitals, wide letters and spaces around and between do not tell them apart.
 * A number belongs to one job in an archive.
 */
export const jobNumberKey = (number: string): string =>
  number.normalize('NFKC').trim().replaceAll(/\s+/g, ' ').toLowerCase();

/**
 * The number that comes after the latest one of a shop: `2026-118` → `2026-119`, `AB 099` → `AB 100`. Without digits at
 * its end, or without a latest one, the year with a number.
 */
export function jobNumberAfter(latest: string | undefined, year: string): string {
  const digits = latest === undefined ? undefined : /^(.*?)(\d{1,9})(\D*)$/.exec(latest.trim());
  if (!digits) return `${year}-001`;
  const [, before = '', counted = '', after = ''] = digits;
  return `${before}${String(Number(counted) + 1).padStart(counted.length, '0')}${after}`;
}

/** What a job is called by its artwork's file name, until somebody says otherwise: `van_left v2.pdf` → `van left v2`. */
export const jobNameFromFile = (fileName: string): string =>
  fileName
    .replace(/\.pdf$/i, '')
    .replaceAll(/[_\s]+/g, ' ')
    .trim() || 'Artwork';

/** A text that sorts as people count: `BM-9` comes before `BM-10`, whatever the capitals. */
export const jobNumberOrder = (number: string): string =>
  jobNumberKey(number).replaceAll(/\d+/g, (digits) => digits.replace(/^0+(?=\d)/, '').padStart(12, '0'));
