/**
 * What makes two job numbers one for people: capitals, wide letters and spaces around and between do not tell them apart.
 * A number belongs to one job in an archive.
 */
export const jobNumberKey = (number: string): string =>
  number.normalize('NFKC').trim().replaceAll(/\s+/g, ' ').toLowerCase();
