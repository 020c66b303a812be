/** `LH-01`, `LH-01 and LH-02`, `LH-01, LH-02 and LH-03`; empty for an empty list. */
export function listText(names: readonly string[]): string {
  if (names.length < 2) return names[0] ?? '';
  return `${names.slice(0, -1).join(', ')} and ${names.at(-1)}`;
}

export const sentence = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
