import { styleOf } from '../drawing/text-block.ts';
import { sentence } from '../findings/layout/finding-context.ts';
import type { Panel, SeamEdge } from '../layout/panel.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import { listText } from '../measure/list-text.ts';
import { EDGES, type Edge } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';
import type { ListEntry } from './blocks.ts';
import type { SheetContext } from './sheet-context.ts';
import { sheetLength } from './sheet-length.ts';
import { type SideKeys, seamFromLine, seamFromZero } from './side-keys.ts';

/**
 * The order of work in words, one step per panel: where its edges must lie, what it covers, what stays for the
 * next panel to cover. `LH-04 over 3, 2. Bottom edge on S5: 1170 above the bottom edge, 10 below Belt line (L1). Trim there.`
 */
export function layStepEntries(context: SheetContext, layout: SideLayout, keys: SideKeys): ListEntry[] {
  return layout.panels.map((panel) => ({
    mark: String(panel.order),
    style: styleOf('regular', context.size.textMm * 1.1),
    text: layStep(context, layout, keys, panel),
  }));
}

export function layStep(context: SheetContext, layout: SideLayout, keys: SideKeys, panel: Panel): string {
  const numbers = new Map(layout.panels.map(({ id, number }) => [id, number]));
  const neighbors = (edge: SeamEdge) =>
    edge.neighbors.flatMap(({ panelId }) => numbers.get(panelId) ?? []).join(', ');
  const seamEdges = EDGES.flatMap((edge) => {
    const at = panel.edges[edge];
    return at.kind === 'seam' ? [{ edge, at }] : [];
  });
  const covered = seamEdges.filter(({ at }) => at.lies === 'over').map(({ at }) => neighbors(at));
  const head = covered.length > 0 ? `${panel.label} over ${covered.join(', ')}.` : `${panel.label}.`;
  const sentences = seamEdges.map(({ edge, at }) =>
    edgeSentence(context, layout, keys, edge, at, neighbors(at)),
  );
  const outer = EDGES.filter((edge) => panel.edges[edge].kind === 'outer');
  const last =
    outer.length > 0 ? [`${listText(outer)} ${outer.length > 1 ? 'edges' : 'edge'} on the outline.`] : [];
  return [head, ...sentences, ...last.map(sentence)].join(' ');
}

function edgeSentence(
  { job }: SheetContext,
  layout: SideLayout,
  keys: SideKeys,
  edge: Edge,
  at: SeamEdge,
  neighbors: string,
): string {
  const length = (mm: Mm) => sheetLength(mm, job.displayUnit);
  const found = keys.seams.find(({ seam }) => seam.id === at.seamId);
  if (!found) return '';
  const { key, seam } = found;
  const zero = seam.direction === 'vertical' ? 'from the left edge' : 'above the bottom edge';
  const fromLine = seamFromLine(layout, keys, seam, job.displayUnit, 'name');
  const place = `${key}: ${length(seamFromZero(layout, seam))} ${zero}${fromLine ? `, ${fromLine}` : ''}`;
  switch (at.lies) {
    case 'over': {
      const trim = at.trim === 'vehicle' ? ' Trim there.' : '';
      return `${sentence(edge)} edge on ${place}.${trim}`;
    }
    case 'under':
      return at.allowanceMm > 0
        ? `${sentence(edge)}: runs ${length(at.allowanceMm)} past ${key}, ${neighbors} will cover it.`
        : `${sentence(edge)}: ends on ${key}, ${neighbors} will cover it.`;
    case 'edge-to-edge':
      return `${sentence(edge)} edge on ${place}, against ${neighbors}.`;
    case 'apart':
      return `${sentence(edge)}: wrap ${length(at.allowanceMm)} into the gap at ${key}.`;
  }
}
