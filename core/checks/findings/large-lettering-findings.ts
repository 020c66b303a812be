import { enlargement, pagePlan } from '../../cut/panel-geometry.ts';
import { type Finding, finding, withFigure } from '../../findings/finding.ts';
import type { Panel } from '../../layout/panel.ts';
import { rectIntersection } from '../../measure/rect.ts';
import { MM_PER_PT } from '../../measure/units.ts';
import { areaPrinted, placeOnSide, placeText, type SideCheck } from '../check-context.ts';
import { CAP_HEIGHT_SHARE } from '../side-lettering.ts';

/**
 * Live text with a larger font size, in units of the panel's page, is not drawn by poppler, which many viewers use;
 * 1,440 units were measured to show.
 */
export const MAX_FONT_UNITS = 1440;

/**
 * Lettering so large on a panel's page that viewers omit it: the RIP prints it, but people who view the file miss it.
 */
export function largeLetteringFindings(check: SideCheck): Finding[] {
  const { job, page, side, layout, length } = check;
  const { size } = job.output;
  const lost = page.largeLettering.flatMap((line) => {
    const area = areaPrinted(check, line.area);
    if (area === undefined) return [];
    const finishedMm = line.sizeMm * job.scale;
    const units = Math.max(
      0,
      ...layout.panels
        .filter(({ printed }) => rectIntersection(printed, area) !== undefined)
        .map((panel) => finishedMm / MM_PER_PT / unitOf(panel, check)),
    );
    return units > MAX_FONT_UNITS ? [{ line, area, finishedMm, units }] : [];
  });
  const [largest] = lost;
  if (largest === undefined) return [];
  const { line, area, finishedMm, units } = largest;
  const factor = Math.ceil((units * enlargement(size)) / MAX_FONT_UNITS);
  const many = lost.length === 1 ? 'One line' : `${lost.length} lines`;
  return [
    withFigure(
      units,
      finding(
        'lettering-too-large-to-view',
        'warn',
        placeOnSide(check, area),
        `${many} of live lettering on side ${side.code} ${lost.length === 1 ? 'is' : 'are'} so large in the panels that common viewers leave ${lost.length === 1 ? 'it' : 'them'} out, though RIPs print ${lost.length === 1 ? 'it' : 'them'}: the largest, “${line.text}”, with capitals about ${length(finishedMm * CAP_HEIGHT_SHARE)} high, begins ${placeText(check, area)}.`,
        `Select a reduced output size of 1:${factor} or more, or ask for this lettering turned to outlines.`,
      ),
    ),
  ];
}

/** Finished points per unit of the panel's page. */
function unitOf({ film }: Panel, { job }: SideCheck): number {
  const { size } = job.output;
  const plan = pagePlan({ filmWidthMm: film.width, filmHeightMm: film.height }, size);
  return enlargement(size) * (plan.ok ? plan.value.userUnit : 1);
}
