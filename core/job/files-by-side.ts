/** Files that a designer names after the sides in them, in the order of the sides. */

/** Files that name no side come last, sorted by name. */
export function filesBySide<T extends { readonly name: string }>(
  files: readonly T[],
  sides: readonly { readonly name: string; readonly code: string }[],
): T[] {
  const wanted = sides.map(({ name, code }) => [
    wordsOf(name).filter((word) => word !== 'side'),
    [code.toLowerCase()],
  ]);
  const place = (name: string): number => {
    const words = new Set(wordsOf(name.replace(/\.pdf$/i, '')));
    const lengths = wanted.map((ways) =>
      Math.max(
        ...ways.map((way) => (way.length > 0 && way.every((word) => words.has(word)) ? way.length : 0)),
      ),
    );
    const most = Math.max(0, ...lengths);
    return most === 0 ? sides.length : lengths.indexOf(most);
  };
  return files
    .map((file) => ({ file, at: place(file.name) }))
    .sort((a, b) => a.at - b.at || a.file.name.localeCompare(b.file.name, 'en', { numeric: true }))
    .map(({ file }) => file);
}

const wordsOf = (text: string): string[] => text.toLowerCase().match(/\p{L}+|\p{N}+/gu) ?? [];
