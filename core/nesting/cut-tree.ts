import { LENGTH_TOLERANCE_MM } from '../measure/units.ts';

/** A rectangle on film, from `x0` to `x1` across it and from `y0` to `y1` along it. */
export interface Box {
  readonly x0: number;
  readonly x1: number;
  readonly y0: number;
  readonly y1: number;
}

/** Direction of a knife cut: across the film or lengthwise. */
export type CutWay = 'across' | 'lengthwise';

/**
 * How straight cuts from edge to edge separate boxes: first all cuts in one direction, then those in the other
 * direction within each part.
 *
 *     ┌────┬──────┐   lengthwise ┬ a
 *     │    │  b   │              └ across ┬ b
 *     │ a  ├──────┤                       └ c
 *     │    │  c   │
 *     └────┴──────┘
 *
 * `joined` holds boxes that no such cut separates.
 */
export type CutTree<T> =
  | { readonly kind: 'one'; readonly item: T }
  | { readonly kind: 'joined'; readonly items: readonly T[] }
  | { readonly kind: 'cut'; readonly way: CutWay; readonly parts: readonly CutTree<T>[] };

interface Boxed<T> {
  readonly item: T;
  readonly box: Box;
}

/** The cuts that separate these boxes. The first cuts go across the film where possible. */
export function cutTree<T>(items: readonly T[], boxOf: (item: T) => Box): CutTree<T> {
  return parted(
    items.map((item) => ({ item, box: boxOf(item) })),
    'across',
  );
}

function parted<T>(some: readonly Boxed<T>[], first: CutWay): CutTree<T> {
  if (some.length === 1) return { kind: 'one', item: some[0]!.item };
  for (const way of [first, otherWay(first)]) {
    const groups = groupsApart(some, way);
    if (groups.length > 1) {
      return { kind: 'cut', way, parts: groups.map((group) => parted(group, otherWay(way))) };
    }
  }
  return { kind: 'joined', items: some.map(({ item }) => item) };
}

export const otherWay = (way: CutWay): CutWay => (way === 'across' ? 'lengthwise' : 'across');

/** Groups of boxes between neighboring cuts in one direction, in order of position. */
function groupsApart<T>(some: readonly Boxed<T>[], way: CutWay): Boxed<T>[][] {
  const start = ({ box }: Boxed<T>): number => (way === 'across' ? box.y0 : box.x0);
  const end = ({ box }: Boxed<T>): number => (way === 'across' ? box.y1 : box.x1);
  const groups: Boxed<T>[][] = [];
  let reached = Number.NEGATIVE_INFINITY;
  for (const boxed of [...some].sort((a, b) => start(a) - start(b))) {
    if (start(boxed) >= reached - LENGTH_TOLERANCE_MM) groups.push([]);
    groups.at(-1)!.push(boxed);
    reached = Math.max(reached, end(boxed));
  }
  return groups;
}

/** The items of the tree, in the order of its cuts. */
export function cutLeaves<T>(tree: CutTree<T>): readonly T[] {
  if (tree.kind === 'one') return [tree.item];
  return tree.kind === 'joined' ? tree.items : tree.parts.flatMap(cutLeaves);
}
