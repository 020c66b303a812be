import type { SideLayout } from '../layout/side-layout.ts';

/**
 * The sides of some panels, with these panels alone: what a ticket or a packing list for a reprint is made from.
 * Numbers and neighbours stay those of the whole side. Maps and labels take the whole layouts and the ids instead,
 * because they show what lies around.
 */
export function layoutsOfPanels(layouts: readonly SideLayout[], panelIds: readonly string[]): SideLayout[] {
  const wanted = new Set(panelIds);
  return layouts.flatMap((layout) => {
    const panels = layout.panels.filter(({ id }) => wanted.has(id));
    return panels.length > 0 ? [{ ...layout, panels }] : [];
  });
}
