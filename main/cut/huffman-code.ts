/** Codes of a Flate block (RFC 1951, 3.2): how many bits each symbol has, and which ones. */

/** No code of a block is longer (3.2.7). */
export const MAX_CODE = 15;

/**
 * The number of bits for each symbol, at most `limit`; 0 for symbols without weight, which have no code. At least two
 * symbols must have some weight.
 */
export function codeLengths(weights: Uint32Array, limit: number): Uint8Array {
  const lengths = new Uint8Array(weights.length);
  const scaled = weights.slice();
  // Weights that are closer together make a flatter tree.
  while (!areDepthsWithin(limit, scaled, lengths)) {
    for (let symbol = 0; symbol < scaled.length; symbol += 1) scaled[symbol] = (scaled[symbol]! + 1) >> 1;
  }
  return lengths;
}

/**
 * Fills in the depth of each symbol in the tree that always joins the two lightest nodes (Huffman 1952). Returns
 * whether none is deeper than `limit`.
 */
function areDepthsWithin(limit: number, weights: Uint32Array, depths: Uint8Array): boolean {
  const leaves = leavesByWeight(weights);
  const count = leaves.length;
  // Leaves first, then the joined nodes. Joined nodes are made in rising order, so the lightest is at the head of one
  // of the two rows.
  const nodes = new Uint32Array(2 * count - 1);
  const parents = new Uint16Array(2 * count - 1);
  for (let i = 0; i < count; i += 1) nodes[i] = weights[leaves[i]!]!;
  let leaf = 0;
  let inner = count;
  for (let node = count; node < nodes.length; node += 1) {
    for (let child = 0; child < 2; child += 1) {
      const isLeaf = leaf < count && (inner === node || nodes[leaf]! <= nodes[inner]!);
      const lightest = isLeaf ? leaf++ : inner++;
      nodes[node]! += nodes[lightest]!;
      parents[lightest] = node;
    }
  }
  const deep = new Uint8Array(nodes.length);
  for (let node = nodes.length - 2; node >= 0; node -= 1) deep[node] = deep[parents[node]!]! + 1;
  for (let i = 0; i < count; i += 1) depths[leaves[i]!] = deep[i]!;
  return deep.every((depth) => depth <= limit);
}

/** Symbols that have weight, lightest first. */
function leavesByWeight(weights: Uint32Array): number[] {
  const symbols: number[] = [];
  for (let symbol = 0; symbol < weights.length; symbol += 1) if (weights[symbol]! > 0) symbols.push(symbol);
  return symbols.sort((a, b) => weights[a]! - weights[b]! || a - b);
}

/**
 * The bits to write for each symbol: its code in the low 16 bits, first bit lowest, and its length above (RFC 1951,
 * 3.1.1 and 3.2.2).
 */
export function codesWritten(lengths: Uint8Array): Int32Array {
  const counts = new Uint16Array(MAX_CODE + 1);
  for (let symbol = 0; symbol < lengths.length; symbol += 1) counts[lengths[symbol]!]! += 1;
  counts[0] = 0;
  const next = new Uint16Array(MAX_CODE + 1);
  for (let length = 1; length <= MAX_CODE; length += 1) {
    next[length] = (next[length - 1]! + counts[length - 1]!) << 1;
  }
  const codes = new Int32Array(lengths.length);
  for (let symbol = 0; symbol < lengths.length; symbol += 1) {
    const length = lengths[symbol]!;
    if (length > 0) codes[symbol] = (length << 16) | reversed(next[length]!++, length);
  }
  return codes;
}

function reversed(code: number, length: number): number {
  let bits = 0;
  for (let i = 0; i < length; i += 1) bits |= ((code >> i) & 1) << (length - 1 - i);
  return bits;
}
