/** Whether each panel can be printed and handled by an installer. */

import { installDay } from '../../job/install-days.ts';
import { panelPrinter } from '../../job/job-films.ts';
import { type Panel, panelPoints } from '../../layout/panel.ts';
import { longestPrintOnFilm, panelFit, printerPrintWidth } from '../../layout/panel-fit.ts';
import { decimalText } from '../../measure/length-text.ts';
import { listText } from '../../measure/list-text.ts';
import { filmLengthText } from '../../measure/long-length.ts';
import { polygonArea } from '../../measure/outline.ts';
import { pathsDistance } from '../../measure/path.ts';
import { EDGES, rectHorizontal, rectVertical } from '../../measure/rect.ts';
import { LENGTH_TOLERANCE_MM, type Mm } from '../../measure/units.ts';
import { type Finding, finding, withFigure } from '../finding.ts';
import { edgesText, type SideContext } from './finding-context.ts';

/** A panel that covers a smaller share is mostly waste, and hard to position. */
const LEAST_COVERED_SHARE = 0.1;

export function panelFindings(context: SideContext): Finding[] {
  return [
    ...context.layout.panels.flatMap((panel) => [
      ...fitFindings(panel, context),
      ...sliverFindings(panel, context),
      ...coverFindings(panel, context),
      ...missingFindings(panel, context),
      ...dayFindings(panel, context),
    ]),
    ...context.layout.droppedPanelIds.map((panelId) => droppedFinding(panelId, context)),
    ...noPanelFindings(context),
  ];
}

/** Keeps FIT3 and FIT4. */
function fitFindings(panel: Panel, { job, length }: SideContext): Finding[] {
  const printer = panelPrinter(job, panel);
  const width = printerPrintWidth(printer);
  if (width <= LENGTH_TOLERANCE_MM) return [];
  const fit = panelFit(panel.film, printer);
  const where = { sideId: panel.sideId, panelId: panel.id };
  const found: Finding[] = [];
  // Panels on glass have a separate finding, because no seam can divide them.
  if (fit.isTooWide && !panel.glass) {
    found.push(
      finding(
        'panel-too-wide',
        'stop',
        where,
        `Panel ${panel.label} needs ${length(fit.acrossMm)} of film across the roll, ${length(-fit.widthLeftMm)} more than the printable width of ${length(width)}.`,
        'Move a seam, add one, reduce the border or the overlaps, or select a wider roll.',
      ),
    );
  }
  if (fit.isTooLong) {
    const run = (mm: Mm) => filmLengthText(mm, job.displayUnit);
    const limit =
      longestPrintOnFilm(printer) === printer.rollLengthMm ? 'the length of the roll' : 'the longest print';
    found.push(
      finding(
        'panel-too-long',
        'stop',
        where,
        `Panel ${panel.label} needs ${run(fit.alongMm)} of film along the roll, ${run(-fit.lengthLeftMm)} more than ${limit} of ${run(longestPrintOnFilm(printer))}.`,
        'Add a seam across the long way, or select a longer roll or a printer that prints longer.',
      ),
    );
  }
  return found;
}

/** Smallest width and height. */
function panelLeastSize({ net, shape }: Panel): readonly [Mm, Mm] {
  if (!shape) return [net.width, net.height];
  const { left, right, top, bottom } = shape.edges;
  return [pathsDistance(left, right, rectVertical(net)), pathsDistance(top, bottom, rectHorizontal(net))];
}

/** Keeps PNF1. */
function sliverFindings(panel: Panel, { job, length }: SideContext): Finding[] {
  const [wide, high] = panelLeastSize(panel);
  const narrow = Math.min(wide, high);
  // A patch may be as small as the damage, and a window panel as its window.
  if (panel.patch || panel.glass || narrow >= job.limits.minPanelMm - LENGTH_TOLERANCE_MM) return [];
  const way = wide <= high ? 'wide' : 'high';
  return [
    withFigure(
      narrow,
      finding(
        'panel-sliver',
        'warn',
        { sideId: panel.sideId, panelId: panel.id },
        `Panel ${panel.label} is only ${length(narrow)} ${way} when installed, under the limit of ${length(job.limits.minPanelMm)}.`,
        'Spread the seams more evenly or remove the seam beside it; narrow panels stretch and lift.',
      ),
    ),
  ];
}

/** Keeps PNF2. */
function coverFindings(panel: Panel, { length }: SideContext): Finding[] {
  const share = panel.coveredAreaMm2 / polygonArea(panelPoints(panel));
  if (share >= LEAST_COVERED_SHARE) return [];
  return [
    finding(
      'panel-mostly-no-film',
      'note',
      { sideId: panel.sideId, panelId: panel.id },
      `No-film areas take ${decimalText(100 * (1 - share), 1)} % of panel ${panel.label} (${length(panel.net.width)} × ${length(panel.net.height)}).`,
      'Move a seam so that the rest joins a neighbor, or keep the panel as it is.',
    ),
  ];
}

/**
 * Image needed past the edge of the page. In a bleed the image may still be enough, but in a lap two neighbors share
 * it, so it must be there. A side that extends past the page has a separate finding. Keeps ARF1 and ARF2.
 */
function missingFindings(panel: Panel, { layout, length }: SideContext): Finding[] {
  const short = EDGES.filter((edge) => panel.missing[edge] > 0);
  const isNetMissing = short.some(
    (edge) => panel.missing[edge] > panel.edges[edge].allowanceMm + LENGTH_TOLERANCE_MM,
  );
  if (isNetMissing || !layout.artwork) return [];
  const where = { sideId: panel.sideId, panelId: panel.id };
  const amounts = (edges: typeof short) =>
    listText(
      edges.map(
        (edge) => `${length(panel.missing[edge])} of ${length(panel.edges[edge].allowanceMm)} at the ${edge}`,
      ),
    );
  const bleed = short.filter((edge) => panel.edges[edge].kind === 'outer');
  const laps = short.filter((edge) => panel.edges[edge].kind === 'seam');
  const found: Finding[] = [];
  if (laps.length > 0) {
    found.push(
      finding(
        'artwork-missing-under-overlap',
        'stop',
        where,
        `Panel ${panel.label} has no artwork for its overlap: ${amounts(laps)} lies off the page.`,
        `Move the seam away from the page edge, reduce the overlap at the ${edgesText(laps)}, or extend the artwork.`,
      ),
    );
  }
  if (bleed.length > 0) {
    found.push(
      withFigure(
        Math.max(...bleed.map((edge) => panel.missing[edge])),
        finding(
          'artwork-missing-under-bleed',
          'warn',
          where,
          `Panel ${panel.label} has no artwork for its bleed: ${amounts(bleed)} lies off the page.`,
          'Ask for artwork with bleed, set the bleed to what is there, or accept less to tuck and trim.',
        ),
      ),
    );
  }
  return found;
}

function droppedFinding(panelId: string, { side }: SideContext): Finding {
  return finding(
    'panel-dropped',
    'note',
    { sideId: side.id, panelId },
    `A panel of ${side.code} lies wholly in a no-film area, so no film is printed for it.`,
    'Nothing to do; make the no-film area smaller if film is wanted there.',
  );
}

/** Keeps PNF3. */
function noPanelFindings({ side, layout }: SideContext): Finding[] {
  if (layout.panels.length > 0) return [];
  return [
    finding(
      'side-without-panels',
      'stop',
      { sideId: side.id },
      `Side ${side.code} has no panel to print: no-film areas cover all of it.`,
      'Correct the no-film areas, or remove the side from the job.',
    ),
  ];
}

/** STG4: the panel underneath must be installed first. Keeps STG4. */
function dayFindings(panel: Panel, { layout }: SideContext): Finding[] {
  const covered = EDGES.flatMap((edge) => {
    const at = panel.edges[edge];
    return at.kind === 'seam' && at.lies === 'over' ? at.neighbors.map(({ panelId }) => panelId) : [];
  });
  const later = layout.panels.filter(
    (other) => covered.includes(other.id) && installDay(other) > installDay(panel),
  );
  return later.map((other) =>
    finding(
      'panel-day-before-covered',
      'warn',
      { sideId: panel.sideId, panelId: panel.id, itemId: other.id },
      `Panel ${panel.label} lies over ${other.label}, and is installed on day ${installDay(panel)}, before it: ${other.label} comes on day ${installDay(other)}.`,
      `Install ${other.label} on day ${installDay(panel)} or before, or turn the overlap round.`,
    ),
  );
}
