/** Text about one edge of a panel for installers and labels: the neighbor there, and which of the two is on top. */

import { type LengthFormat, lengthText } from '../measure/length-text.ts';
import { listText } from '../measure/list-text.ts';
import { foundIn } from '../measure/present.ts';
import type { Edge } from '../measure/rect.ts';
import { edgeFinishedOverlap, type Panel, type PanelEdge, type SeamEdge } from './panel.ts';
import type { SideLayout } from './side-layout.ts';

export interface EdgeDescription {
  readonly edge: Edge;
  /** Labels of the panels across the seam, in order along the edge; empty on the outline of the side. */
  readonly neighbors: readonly string[];
  readonly lies: SeamEdge['lies'] | 'outer';
  /** `over LH-03 and LH-04, finished overlap 15 mm`, `edge to edge with LH-02`, `bleed 50 mm`. */
  readonly text: string;
}

export function edgeDescription(
  layout: SideLayout,
  panel: Panel,
  edge: Edge,
  format: LengthFormat,
): EdgeDescription {
  const at = panel.edges[edge];
  const neighbors = edgeNeighborLabels(layout, at);
  return {
    edge,
    neighbors,
    lies: at.kind === 'outer' ? 'outer' : at.lies,
    text: panel.glass
      ? `bleed ${lengthText(at.allowanceMm, format)} past the line ${lengthText(panel.glass.sealMm, format)} off the seal`
      : edgeText(at, neighbors, format),
  };
}

function edgeNeighborLabels(layout: SideLayout, at: PanelEdge): string[] {
  if (at.kind === 'outer') return [];
  return at.neighbors
    .toSorted((a, b) => a.along.start - b.along.start)
    .map(({ panelId }) => foundIn(layout.panels, ({ id }) => id === panelId).label);
}

function edgeText(at: PanelEdge, neighbors: readonly string[], format: LengthFormat): string {
  if (at.kind === 'outer') {
    return at.allowanceMm > 0 ? `bleed ${lengthText(at.allowanceMm, format)}` : 'no bleed';
  }
  if (neighbors.length === 0) return 'no panel beside it';
  const names = listText(neighbors);
  switch (at.lies) {
    case 'over':
      return `over ${names}, finished overlap ${lengthText(edgeFinishedOverlap(at), format)}`;
    case 'under':
      return `under ${names}, extends ${lengthText(at.allowanceMm, format)} past the seam`;
    case 'edge-to-edge':
      return `edge to edge with ${names}`;
    case 'apart':
      if (at.trim === 'edge') return `ends on the edge of the gap to ${names}`;
      return `wraps ${lengthText(at.allowanceMm, format)} into the gap to ${names}`;
  }
}
