import { corrupt } from './image-problem.ts';
import type { EntropyWriter } from './jpeg-bits.ts';
import type { CodeBook } from './jpeg-huffman.ts';

/** Difference category of T.81, table F.1: bits of the magnitude. */
export const bitLength = (magnitude: number): number => 32 - Math.clz32(magnitude);

/** Writes a value under its category: the code `symbol`, then `size` bits, negatives less one (T.81, F.1.2.1). */
export function putValue(
  writer: EntropyWriter,
  book: CodeBook,
  symbol: number,
  value: number,
  size: number,
): void {
  putSymbol(writer, book, symbol);
  if (size > 0) writer.put((value < 0 ? value - 1 : value) & ((1 << size) - 1), size);
}

export function putSymbol(writer: EntropyWriter, book: CodeBook, symbol: number): void {
  const length = book.lengths[symbol]!;
  if (length === 0) corrupt('The JPEG has a coefficient beyond the range of 8-bit samples.');
  writer.put(book.codes[symbol]!, length);
}
