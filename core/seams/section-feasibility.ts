import type { SeamAxis } from './seam-place.ts';
import type { SectionGround } from './section-ground.ts';
import { SectionReach } from './section-reach.ts';

/**
 * Whether any layout of the search keeps all limits. It checks the same limits as `sectionSearch` without prices, from
 * the whole side down. The first layout found ends it, and a rectangle is examined only where its neighbor in a cut has
 * a layout.
 *
 * `tick` is called during the search and may throw to end it.
 */
export function isSectionFeasible(ground: SectionGround, tick: () => void = () => {}): boolean {
  const { columns, rows, scope } = ground;
  const reach = new SectionReach(ground);
  const known = new Uint8Array(ground.size);

  const isFeasible = (i: number, j: number, k: number, l: number): boolean => {
    const key = ground.key(i, j, k, l);
    if (known[key] === UNKNOWN) known[key] = isPossible(i, j, k, l) ? YES : NO;
    return known[key] === YES;
  };
  const isLeaf = (i: number, j: number, k: number, l: number): boolean =>
    ground.isWhole(i, j, k, l) &&
    (ground.isOpen(i, j, k, l) ||
      ground.panelFilm(i, j, k, l) !== undefined ||
      (scope !== 'horizontal' && reach.isSequencePossible({ axis: 'vertical', i, j, k, l })) ||
      (scope !== 'vertical' && reach.isSequencePossible({ axis: 'horizontal', i: k, j: l, k: i, l: j })));
  const isCut = (axis: SeamAxis, m: number, from: number, to: number) =>
    ground.cut(axis, m, from, to) !== undefined;
  const isPossible = (i: number, j: number, k: number, l: number): boolean => {
    tick();
    if (!ground.isPlace(i, j, k, l)) return false;
    if (isLeaf(i, j, k, l)) return true;
    for (let m = 0; m < columns.length; m++) {
      if (!ground.isCutBetween('vertical', m, i, j, k, l)) continue;
      if (isCut('vertical', m, k, l) && isFeasible(i, m, k, l) && isFeasible(m, j, k, l)) return true;
    }
    for (let m = 0; m < rows.length; m++) {
      if (!ground.isCutBetween('horizontal', m, i, j, k, l)) continue;
      if (isCut('horizontal', m, i, j) && isFeasible(i, j, k, m) && isFeasible(i, j, m, l)) return true;
    }
    return false;
  };
  return isFeasible(0, columns.length - 1, 0, rows.length - 1);
}

const UNKNOWN = 0;
const YES = 1;
const NO = 2;
