/**
 * The form for comparing job numbers: case, wide letters and spaces do not matter. A number belongs to one job in an
 * archive.
 */
export const jobNumberKey = (number: string): string =>
  number.normalize('NFKC').trim().replaceAll(/\s+/g, ' ').toLowerCase();

interface Counted {
  readonly before: string;
  readonly digits: string;
  readonly after: string;
}

function countedIn(number: string): Counted | undefined {
  const found = /^(.*?)(\d{1,9})(\D*)$/.exec(number.trim());
  if (!found) return undefined;
  const [, before = '', digits = '', after = ''] = found;
  return { before, digits, after };
}

/** The prefix of a shop's job numbers, from its latest one: `2026-` of `2026-118`; else the year. */
export const jobNumberStart = (latest: string | undefined, year: string): string =>
  countedIn(latest ?? '')?.before ?? `${year}-`;

/**
 * The number after the latest one of a shop and all others with its prefix: `2026-118` → `2026-119`, `AB 099` → `AB
 * 100`. Without digits at its end, or without a latest one, the year with a number.
 */
export function jobNumberAfter(
  latest: string | undefined,
  year: string,
  others: readonly string[] = [],
): string {
  const { before, digits, after } = countedIn(latest ?? '') ?? {
    before: `${year}-`,
    digits: '000',
    after: '',
  };
  const numbersAlike = others.flatMap((text) => {
    const other = countedIn(text);
    return other && jobNumberKey(other.before) === jobNumberKey(before) ? [Number(other.digits)] : [];
  });
  const highest = Math.max(Number(digits), ...numbersAlike);
  return `${before}${String(highest + 1).padStart(digits.length, '0')}${after}`;
}

/** The first name of a job, from the file name of its artwork: `van_left v2.pdf` → `van left v2`. */
export const jobNameFromFile = (fileName: string): string =>
  fileName
    .replace(/\.pdf$/i, '')
    .replaceAll(/[_\s]+/g, ' ')
    .trim() || 'Artwork';

/** A sort key in numeric order: `BM-9` comes before `BM-10`, and case does not matter. */
export const jobNumberOrder = (number: string): string =>
  jobNumberKey(number).replaceAll(/\d+/g, (digits) => digits.replace(/^0+(?=\d)/, '').padStart(12, '0'));
