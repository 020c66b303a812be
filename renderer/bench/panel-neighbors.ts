/** Going from panel to panel and from seam to seam with the keyboard. Pure. */
import type { Panel, Seam } from '../../core/layout/panel.ts';
import type { SideLayout } from '../../core/layout/side-layout.ts';
import type { Interval } from '../../core/measure/interval.ts';
import { rectHorizontal, rectVertical } from '../../core/measure/rect.ts';

export type Way = 'left' | 'right' | 'up' | 'down';

/**
 * The panel that lies next in a direction: the one that meets the longest stretch of the edge, or is nearest to
 * it. Undefined at the rim of the side.
 */
export function panelBeside(layout: SideLayout, from: Panel, way: Way): Panel | undefined {
  const isSideways = way === 'left' || way === 'right';
  const along = isSideways ? rectVertical : rectHorizontal;
  const across = isSideways ? rectHorizontal : rectVertical;
  const distance = (panel: Panel): number => {
    const [mine, other] = [across(from.net), across(panel.net)];
    return way === 'right' || way === 'down' ? other.start - mine.end : mine.start - other.end;
  };
  const shared = (panel: Panel): number => overlap(along(from.net), along(panel.net));
  return layout.panels
    .filter((panel) => panel.id !== from.id && distance(panel) > -1 && shared(panel) > 0)
    .toSorted((a, b) => distance(a) - distance(b) || shared(b) - shared(a))[0];
}

const overlap = (a: Interval, b: Interval): number => Math.min(a.end, b.end) - Math.max(a.start, b.start);

/** The panel or seam that comes `by` places later in a list, round the end. */
export function nextInTurn<T extends { readonly id: string }>(
  list: readonly T[],
  id: string | undefined,
  by: 1 | -1,
): T | undefined {
  const index = list.findIndex((candidate) => candidate.id === id);
  if (index === -1) return by === 1 ? list[0] : list.at(-1);
  return list[(index + by + list.length) % list.length];
}

/** Seams as one reads them: from the left, then from the top. */
export const seamsInTurn = (seams: readonly Seam[]): readonly Seam[] =>
  seams.toSorted((a, b) => startOf(a).x - startOf(b).x || startOf(a).y - startOf(b).y);

const startOf = ({ direction, at, span }: Seam) =>
  direction === 'vertical' ? { x: at, y: span.start } : { x: span.start, y: at };
