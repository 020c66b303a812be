import { styleOf, type TextStyle } from '../drawing/text-block.ts';
import { jobCostCard } from '../job/job-cost-card.ts';
import { panelTold } from '../job/job-films.ts';
import type { Job, SeamTrim } from '../job/schema.ts';
import {
  type EdgeTrim,
  edgeFinishedOverlap,
  type GlassFacts,
  type OuterEdge,
  type Panel,
  type SeamEdge,
} from '../layout/panel.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import { listText } from '../measure/list-text.ts';
import { EDGES, type Edge } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';
import { panelPeople } from '../shop/cost-card.ts';
import { boldStyle, type StepEntry } from './blocks.ts';
import type { SheetContext } from './sheet-context.ts';
import { type DisplayUnit, sheetLength } from './sheet-length.ts';
import { type SideKeys, seamFarText, seamFromLine, seamNearText } from './side-keys.ts';

/** How a visible edge is trimmed on the vehicle. */
export const TRIM_WORDS: Readonly<Record<SeamTrim, string>> = {
  tape: 'over cutting tape',
  gap: 'in the gap',
  edge: 'on the edge',
};

/** Applies to every panel, so the steps of each need not repeat it. */
export const generalSteps = ({ output }: Job): readonly string[] => [
  ...(output.borderMm > 0
    ? [
        'Write the number of the panel on its liner before you cut its border.',
        'Cut the white border off every edge that is covered, wrapped or tucked. At an edge that you trim, it comes off with the trim.',
      ]
    : []),
  'Bleed is image past the outline: wrap it, tuck it, or trim it on the edge of the body.',
];

/**
 * The order of work, one entry for each panel and one line for each act: where to set which edge, where to trim and how
 * much stays covered, what the next panel covers, what to do with the bleed.
 *
 *     4  LH-04, over 3, 2
 *        Set the bottom edge on S5: 1130 from the top edge, 10 below Belt line (L1). Check 1170 from the bottom edge.
 *        Trim the bottom edge on S5, over cutting tape. 22 stays covered.
 */
export function installStepEntries(
  context: SheetContext,
  layout: SideLayout,
  keys: SideKeys,
): readonly StepEntry[] {
  const style: TextStyle = styleOf('regular', context.size.textMm * 1.1);
  const shown = layout.panels.filter(({ id }) => isShown(context, id));
  return shown.map((panel) => ({
    mark: String(panel.order),
    head: installHead(context, layout, panel),
    lines: installSteps(context, layout, keys, panel),
    headStyle: styleOf('bold', boldStyle(context).sizeMm * 1.1),
    style,
  }));
}

/** A reprint has steps and sizes only for its panels. */
export const isShown = ({ reprintedIds }: SheetContext, id: string): boolean =>
  reprintedIds.size === 0 || reprintedIds.has(id);

function installHead({ job }: SheetContext, layout: SideLayout, panel: Panel): string {
  const people = panelPeople(jobCostCard(job), Math.max(panel.film.width, panel.film.height));
  const crew = people > 1 ? ` · ${people} people` : '';
  const over = seamEdges(panel).flatMap(({ at }) => (at.lies === 'over' ? neighborNumbers(layout, at) : []));
  const onGlass = panel.glass && `${panel.label}, on the glass of ${panel.glass.name}`;
  const name =
    onGlass ?? (over.length > 0 ? `${panel.label}, over ${[...new Set(over)].join(', ')}` : panel.label);
  const film = panelTold(job, panel);
  return `${name}${crew}${film === undefined ? '' : ` · ${film}`}`;
}

/** The lines of one panel. Keeps SH12. */
export function installSteps(
  context: SheetContext,
  layout: SideLayout,
  keys: SideKeys,
  panel: Panel,
): readonly string[] {
  if (panel.glass) return [...windowSteps(context, panel.glass, panel), ...missingSteps(context, panel)];
  // Edges to set come before those that result from them.
  const follows = ({ at }: { readonly at: SeamEdge }) => at.lies === 'under' || at.lies === 'apart';
  const edges = seamEdges(panel).toSorted((a, b) => Number(follows(a)) - Number(follows(b)));
  const seams = edges.flatMap(({ edge, at }) => seamSteps(context, layout, keys, edge, at));
  const outer = EDGES.flatMap((edge) => {
    const at = panel.edges[edge];
    return at.kind === 'outer' ? [{ edge, at }] : [];
  });
  return [
    ...liftSteps(context, layout, panel),
    ...seams,
    ...bleedSteps(context, outer),
    ...missingSteps(context, panel),
  ];
}

/**
 * Common practice, no source: film goes only on dry glass, clear of all rubber, and no knife follows the seal on the
 * glass.
 */
function windowSteps({ job }: SheetContext, { sealMm }: GlassFacts, { edges }: Panel): readonly string[] {
  const length = (mm: Mm) => sheetLength(mm, job.displayUnit);
  return [
    'Cut the body film back to the seal first; clean and dry the glass with what the film’s data sheet names.',
    `Mark a line ${length(sealMm)} inside the seal all round, and lay cutting tape on it.`,
    `Set the panel so that its image reaches ${length(edges.top.allowanceMm)} past the line on all sides; press from the middle, dry, without heat.`,
    `Trim on the line, over the tape: no film on rubber. Seal the edge if the film’s data sheet asks for it.`,
  ];
}

/** Panels that stay on the vehicle and cover a reprinted panel must be lifted first. */
function liftSteps({ reprintedIds }: SheetContext, layout: SideLayout, panel: Panel): string[] {
  if (reprintedIds.size === 0) return [];
  return seamEdges(panel).flatMap(({ edge, at }) => {
    const staying = at.neighbors.filter(({ panelId }) => !reprintedIds.has(panelId));
    if (at.lies !== 'under' || staying.length === 0) return [];
    const labels = layout.panels
      .filter(({ id }) => staying.some(({ panelId }) => panelId === id))
      .map(({ label }) => label);
    const verb = labels.length === 1 ? 'lies' : 'lie';
    return [`${listText(labels)} ${verb} on top at the ${edge}: lift that edge, or replace the panel.`];
  });
}

const seamEdges = (panel: Panel): { edge: Edge; at: SeamEdge }[] =>
  EDGES.flatMap((edge) => {
    const at = panel.edges[edge];
    return at.kind === 'seam' && at.neighbors.length > 0 ? [{ edge, at }] : [];
  });

export function neighborNumbers(layout: SideLayout, { neighbors }: SeamEdge): number[] {
  const numbers = new Map(layout.panels.map(({ id, number }) => [id, number]));
  return neighbors.flatMap(({ panelId }) => numbers.get(panelId) ?? []);
}

function seamSteps(
  { job }: SheetContext,
  layout: SideLayout,
  keys: SideKeys,
  edge: Edge,
  at: SeamEdge,
): readonly string[] {
  const length = (mm: Mm) => sheetLength(mm, job.displayUnit);
  const found = keys.seams.find(({ seam }) => seam.id === at.seamId);
  if (!found) return [];
  const { key, seam } = found;
  const numbers = neighborNumbers(layout, at);
  const neighbors = numbers.join(', ');
  const fromLine = seamFromLine(layout, keys, seam, job.displayUnit, 'name');
  const far = seamFarText(layout, seam, job.displayUnit);
  const near = seamNearText(layout, seam, job.displayUnit);
  const set = `Set the ${edge} edge on ${key}: ${near}${fromLine ? `, ${fromLine}` : ''}.${far ? ` Check ${far}.` : ''}`;
  switch (at.lies) {
    case 'over':
      return [
        set,
        `${trimStep(edge, key, at.trim)} ${coveredText(edgeFinishedOverlap(at), job.displayUnit)}`,
      ];
    case 'under':
      return [
        at.allowanceMm > 0
          ? `Leave ${length(at.allowanceMm)} past ${key} at the ${edge}: ${neighbors} ${numbers.length > 1 ? 'cover' : 'covers'} it.`
          : `End the ${edge} edge on ${key}: ${neighbors} ${numbers.length > 1 ? 'cover' : 'covers'} it.`,
      ];
    case 'edge-to-edge':
      return [set, `${trimStep(edge, key, at.trim)} It meets ${neighbors} edge to edge.`];
    case 'apart':
      if (at.trim === 'edge')
        return [`Trim the ${edge} edge on the edge of the gap at ${key}; wrap nothing into it.`];
      return [`Wrap ${length(at.allowanceMm)} of the ${edge} edge into the gap at ${key}.`];
  }
}

const coveredText = (mm: Mm, unit: DisplayUnit): string =>
  mm === 0 ? 'Nothing stays covered.' : `${sheetLength(mm, unit)} stays covered.`;

function trimStep(edge: Edge, key: string, trim: EdgeTrim): string {
  if (trim === 'none') return `The ${edge} edge ends on ${key}.`;
  if (trim === 'shop') return `The ${edge} edge is trimmed to ${key} already.`;
  return `Trim the ${edge} edge on ${key}, ${TRIM_WORDS[trim]}.`;
}

/** `Bleed: 70 at the top, right and bottom, 55 at the left.` */
function bleedSteps(
  { job }: SheetContext,
  outer: readonly { readonly edge: Edge; readonly at: OuterEdge }[],
): readonly string[] {
  const byBleed = Map.groupBy(outer, ({ at }) => at.allowanceMm);
  const bare = (byBleed.get(0) ?? []).map(({ edge }) => edge);
  const parts = [...byBleed]
    .filter(([bleedMm]) => bleedMm > 0)
    .map(([bleedMm, edges]) => {
      const names = listText(edges.map(({ edge }) => edge));
      return `${sheetLength(bleedMm, job.displayUnit)} at the ${names}`;
    });
  return [
    ...(parts.length > 0 ? [`Bleed: ${parts.join(', ')}.`] : []),
    ...(bare.length > 0 ? [`No bleed at the ${listText(bare)}: the film ends on the outline.`] : []),
  ];
}

function missingSteps({ job }: SheetContext, panel: Panel): readonly string[] {
  const edges = EDGES.filter((edge) => panel.missing[edge] > 0);
  if (edges.length === 0) return [];
  const parts = edges.map((edge) => `${sheetLength(panel.missing[edge], job.displayUnit)} at the ${edge}`);
  return [`The artwork ends short: ${listText(parts)} is not printed.`];
}
