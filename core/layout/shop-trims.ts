import { EDGES, type Edge } from '../measure/rect.ts';
import type { SideLayout } from './side-layout.ts';

/** An edge whose border comes off in the shop, before packing. */
export interface ShopTrim {
  readonly panelId: string;
  readonly label: string;
  readonly edge: Edge;
  /** The seam on that edge; absent on the outline of the side. */
  readonly seamId?: string;
}

/** Every edge of a side that is trimmed in the shop, panel by panel in install order. Keeps TR3. */
export function shopTrims(layout: SideLayout): ShopTrim[] {
  return layout.panels.flatMap((panel) =>
    EDGES.flatMap((edge): ShopTrim[] => {
      const at = panel.edges[edge];
      if (at.trim !== 'shop') return [];
      const trim = { panelId: panel.id, label: panel.label, edge };
      return [at.kind === 'seam' ? { ...trim, seamId: at.seamId } : trim];
    }),
  );
}
