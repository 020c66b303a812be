import { type PieceKind, SLACK } from './nest-piece.ts';

/**
 * A piece, or two blocks joined without waste: of the same length side by side, or of the same width one behind the
 * other.
 */
export interface FlushBlock {
  readonly width: number;
  readonly height: number;
  readonly area: number;
  /** Indices of kinds, and the number of pieces of each. */
  readonly kinds: readonly number[];
  readonly counts: readonly number[];
  readonly halves?: { readonly isRow: boolean; readonly first: number; readonly second: number };
}

const MOST_ROUNDS = 4;

/** Each kind alone, then the blocks that join without waste, simple ones first, up to a maximum number. */
export function flushBlocks(
  kinds: readonly PieceKind[],
  mostWide: number,
  mostLong: number,
  mostBlocks: number,
): FlushBlock[] {
  const blocks = kinds.map(
    ({ width, height }, kind): FlushBlock => ({
      width,
      height,
      area: width * height,
      kinds: [kind],
      counts: [1],
    }),
  );
  const seen = new Set<string>();
  let from = 0;
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const end = blocks.length;
    for (let first = 0; first < end; first++) {
      for (let second = Math.max(first, from); second < end; second++) {
        if (blocks.length >= mostBlocks) return blocks;
        for (const isRow of [true, false]) {
          const block = joined(blocks, first, second, isRow, kinds);
          if (!block || tooLarge(block, mostWide, mostLong)) continue;
          const name = `${block.width} ${block.height} ${block.kinds} ${block.counts}`;
          if (seen.has(name)) continue;
          seen.add(name);
          blocks.push(block);
        }
      }
    }
    if (blocks.length === end) break;
    from = end;
  }
  return blocks;
}

const tooLarge = ({ width, height }: FlushBlock, mostWide: number, mostLong: number): boolean =>
  width > mostWide + SLACK || height > mostLong + SLACK;

function joined(
  blocks: readonly FlushBlock[],
  first: number,
  second: number,
  isRow: boolean,
  kinds: readonly PieceKind[],
): FlushBlock | undefined {
  const a = blocks[first]!;
  const b = blocks[second]!;
  const step = isRow ? a.height - b.height : a.width - b.width;
  if (Math.abs(step) > SLACK) return undefined;
  const counts = new Map(a.kinds.map((kind, index) => [kind, a.counts[index]!]));
  for (const [index, kind] of b.kinds.entries()) {
    counts.set(kind, (counts.get(kind) ?? 0) + b.counts[index]!);
  }
  for (const [kind, count] of counts) if (count > kinds[kind]!.keys.length) return undefined;
  const sorted = [...counts].sort(([one], [other]) => one - other);
  return {
    width: isRow ? a.width + b.width : Math.max(a.width, b.width),
    height: isRow ? Math.max(a.height, b.height) : a.height + b.height,
    area: a.area + b.area,
    kinds: sorted.map(([kind]) => kind),
    counts: sorted.map(([, count]) => count),
    halves: { isRow, first, second },
  };
}
