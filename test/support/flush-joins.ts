import type { NestItem } from '../../core/nesting/nest-bounds.ts';

/** Items of one size, and how many of them there are. */
interface Kind extends NestItem {
  readonly count: number;
}

interface Joined extends NestItem {
  /** How many of each kind. */
  readonly counts: Uint8Array;
}

/**
 * Whether straight cuts can part all items from film of this width and height without any waste: then two parts of it
 * join flush, and so on in both, so all rectangles are built that join flush from the items up.
 */
export function isCutWithoutWaste(items: readonly NestItem[], width: number, height: number): boolean {
  const kinds = [...Map.groupBy(items, (item) => `${item.width} ${item.height}`).values()].map(
    (same): Kind => ({ ...same[0]!, count: same.length }),
  );
  const joined = kinds.map((kind, index): Joined => {
    const counts = new Uint8Array(kinds.length);
    counts[index] = 1;
    return { width: kind.width, height: kind.height, counts };
  });
  const known = new Set(joined.map(nameOf));
  const asWide = new Map<number, Joined[]>();
  const asHigh = new Map<number, Joined[]>();
  const join = (a: Joined, b: Joined, isStack: boolean): void => {
    const size = isStack
      ? { width: a.width, height: a.height + b.height }
      : { width: a.width + b.width, height: a.height };
    if (size.width > width || size.height > height) return;
    const counts = a.counts.map((count, kind) => count + b.counts[kind]!);
    if (counts.some((count, kind) => count > kinds[kind]!.count)) return;
    const both = { ...size, counts };
    if (known.has(nameOf(both))) return;
    known.add(nameOf(both));
    joined.push(both);
  };
  for (const one of joined) {
    for (const other of grouped(asWide, one.width, one)) join(one, other, true);
    for (const other of grouped(asHigh, one.height, one)) join(one, other, false);
  }
  return joined.some(
    (one) =>
      one.width === width &&
      one.height === height &&
      one.counts.every((count, kind) => count === kinds[kind]!.count),
  );
}

const nameOf = ({ width, counts }: Joined): string => `${width} ${counts}`;

function grouped(groups: Map<number, Joined[]>, size: number, one: Joined): readonly Joined[] {
  const group = groups.get(size) ?? [];
  groups.set(size, group);
  group.push(one);
  return group;
}
