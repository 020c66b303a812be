/**
 * Possible job numbers in the code of a sheet, label or panel, longest first: a number may contain spaces, and the text
 * after it also begins with a word. `Job ACL-2611 Output 7 Production ticket 1 of 2`
 */
export function codeNumbers(text: string): string[] {
  const [first, ...words] = text.trim().split(/\s+/);
  if (first !== 'Job') return [];
  return words.map((_, index) => words.slice(0, words.length - index).join(' '));
}
