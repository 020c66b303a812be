/**
 * What a code of a sheet, a label or a panel may call its job, the longest first: a number may hold spaces, and what
 * follows it begins with a word too. `Job ACL-2611 Output 7 Production ticket 1 of 2`
 */
export function codeNumbers(text: string): string[] {
  const [first, ...words] = text.trim().split(/\s+/);
  if (first !== 'Job') return [];
  return words.map((_, index) => words.slice(0, words.length - index).join(' '));
}
