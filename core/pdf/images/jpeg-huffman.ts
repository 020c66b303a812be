import { corrupt } from './image-problem.ts';

/**
 * A Huffman table as a DHT segment states it (T.81, B.2.4.2): the number of codes of each length from 1 to 16 bits, and
 * their symbols in order.
 */
export interface HuffmanTable {
  readonly counts: Uint8Array;
  readonly symbols: Uint8Array;
}

/** A DHT segment of one table (T.81, B.2.4.2). */
export function huffmanSegment(kind: 'dc' | 'ac', slot: number, table: HuffmanTable): Uint8Array {
  const total = table.counts.reduce((sum, n) => sum + n, 0);
  const length = 19 + total;
  const bytes = new Uint8Array(2 + length);
  bytes.set([0xff, 0xc4, length >> 8, length & 255, ((kind === 'dc' ? 0 : 1) << 4) | slot]);
  bytes.set(table.counts, 5);
  bytes.set(table.symbols.subarray(0, total), 21);
  return bytes;
}

/** T.81, table F.1: the categories that DC differences of 8-bit samples can have. */
export const DC_CATEGORIES = Array.from({ length: 12 }, (_, category) => category);

/** Codes up to this length are found in a first, small table that fits the processor's nearest cache. */
const SHORT_BITS = 11;
export const SHORT_SHIFT = 32 - SHORT_BITS;

/**
 * Two tables indexed by the next bits of the data: `short` by the next 11; `long` by the next 16, for rarer, longer
 * codes.
 */
export interface CodeLookup {
  readonly short: Uint16Array;
  readonly long: Uint16Array;
}

/** Fills both tables with `entry(length, symbol)`; an entry of 0 means that there is no such code. */
function codeLookup(table: HuffmanTable, entry: (length: number, symbol: number) => number): CodeLookup {
  const long = new Uint16Array(1 << 16);
  const short = new Uint16Array(1 << SHORT_BITS);
  let at = 0;
  let index = 0;
  for (let length = 1; length <= 16; length++) {
    const step = 1 << (16 - length);
    for (let n = table.counts[length - 1]!; n > 0; n--) {
      if (at + step > 1 << 16) corrupt('A JPEG Huffman table states more codes than there are.');
      const value = entry(length, table.symbols[index++]!);
      long.fill(value, at, at + step);
      if (length <= SHORT_BITS) short.fill(value, at >> (16 - SHORT_BITS), (at + step) >> (16 - SHORT_BITS));
      at += step;
    }
  }
  return { short, long };
}

/** Entry: code length in the high byte, symbol in the low byte. */
export const symbolLookup = (table: HuffmanTable): CodeLookup =>
  codeLookup(table, (length, symbol) => (length << 8) | symbol);

/** An end-of-block code adds this to the coefficient index, to distinguish it from a run that is too long. */
export const END_OF_BLOCK = 128;

/**
 * Steps over the AC coefficients of a sequential block without decoding them. Entry: bits 0–4 are the total bits of
 * code and value; bits from 5 up are how far the coefficient index moves.
 */
export function stepLookup(table: HuffmanTable): CodeLookup {
  return codeLookup(table, (length, symbol) => {
    const run = symbol >> 4;
    const size = symbol & 15;
    if (symbol === 0) return length | (END_OF_BLOCK << 5);
    if (size === 0 && run !== 15) return 0;
    return (length + size) | ((run + 1) << 5);
  });
}

/** For writing: the code and its length by symbol; length 0 means that the symbol has no code. */
export interface CodeBook {
  readonly codes: Uint16Array;
  readonly lengths: Uint8Array;
}

export function codeBook(table: HuffmanTable): CodeBook {
  const codes = new Uint16Array(256);
  const lengths = new Uint8Array(256);
  let code = 0;
  let index = 0;
  for (let length = 1; length <= 16; length++) {
    for (let n = table.counts[length - 1]!; n > 0; n--) {
      const symbol = table.symbols[index++]!;
      codes[symbol] = code++;
      lengths[symbol] = length;
    }
    code <<= 1;
  }
  return { codes, lengths };
}

/**
 * Extends the table so that it can code every symbol of `needed` too. A crop has differences and runs that the whole
 * image never had, so an encoder's optimized table may lack them. The code lengths of the source stand in for
 * frequencies: common symbols keep short codes, and no second pass over the data is needed.
 */
export function huffmanTableCovering(table: HuffmanTable, needed: Iterable<number>): HuffmanTable {
  const weights = new Float64Array(256);
  let index = 0;
  table.counts.forEach((count, i) => {
    for (let n = count; n > 0; n--) weights[table.symbols[index++]!] = 2 ** (24 - i);
  });
  const missing = [...needed].filter((symbol) => weights[symbol] === 0);
  if (missing.length === 0) return table;
  for (const symbol of missing) weights[symbol] = 1;
  return huffmanTableFromWeights(weights);
}

/** Code lengths by weight, at most 16 bits, leaving the code of all ones free (T.81, K.2). */
export function huffmanTableFromWeights(weights: Float64Array): HuffmanTable {
  const symbols = [...weights.keys()].filter((symbol) => weights[symbol]! > 0);
  const ordered = symbols.sort((a, b) => weights[b]! - weights[a]! || a - b);
  // The extra leaf of least weight takes the code of all ones, which JPEG forbids.
  const perLength = lengthsLimited(leafDepths([...ordered.map((symbol) => weights[symbol]!), 0.5]));
  let longest = 16;
  while (perLength[longest - 1] === 0) longest--;
  perLength[longest - 1]!--;
  return { counts: Uint8Array.from(perLength), symbols: Uint8Array.from(ordered) };
}

/** How many leaves are at each depth of the Huffman tree for weights in falling order. Index 0 is depth 1. */
function leafDepths(weights: readonly number[]): number[] {
  let nodes = weights.map((weight) => ({ weight, depths: [0] }));
  while (nodes.length > 1) {
    const a = nodes.pop()!;
    const b = nodes.pop()!;
    const joined = { weight: a.weight + b.weight, depths: [...a.depths, ...b.depths].map((d) => d + 1) };
    const place = nodes.findIndex((node) => node.weight < joined.weight);
    nodes = place < 0 ? [...nodes, joined] : nodes.toSpliced(place, 0, joined);
  }
  const counts: number[] = [];
  for (const depth of nodes[0]!.depths) counts[depth - 1] = (counts[depth - 1] ?? 0) + 1;
  return Array.from(counts, (n) => n ?? 0);
}

/** Moves leaves up until none is deeper than 16, keeping the tree full (T.81, K.2, figure K.3). */
function lengthsLimited(depths: readonly number[]): number[] {
  const counts = Array.from({ length: Math.max(16, depths.length) }, (_, i) => depths[i] ?? 0);
  for (let i = counts.length - 1; i >= 16; i--) {
    while (counts[i]! > 0) {
      let j = i - 2;
      while (counts[j] === 0) j--;
      counts[i]! -= 2;
      counts[i - 1]!++;
      counts[j + 1]! += 2;
      counts[j]!--;
    }
  }
  return counts.slice(0, 16);
}
