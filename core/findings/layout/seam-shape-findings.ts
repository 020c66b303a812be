/** What the shape of a seam costs, and where its film would be cut to a sharp corner. */
import { jobProductionSettings } from '../../job/job-production-settings.ts';
import { materialPrice } from '../../job/material-price.ts';
import type { Panel, Seam } from '../../layout/panel.ts';
import { seamPath } from '../../layout/seam-line-place.ts';
import { decimalText } from '../../measure/length-text.ts';
import { polygonArea } from '../../measure/outline.ts';
import { pathPart, pathRange } from '../../measure/path.ts';
import { rectArea } from '../../measure/rect.ts';
import { LENGTH_TOLERANCE_MM, type Mm } from '../../measure/units.ts';
import { type Finding, finding } from '../finding.ts';
import { areaText, type SideContext, seamName, sentence } from './finding-context.ts';

/** So much that a seam rises over its length costs film worth a word. Common practice, no source. */
const MOST_RISE_MM: Mm = 150;

export const seamShapeFindings = (context: SideContext): Finding[] =>
  context.layout.seams.flatMap((seam) => [...filmFindings(seam, context), ...cornerFindings(seam, context)]);

/** Panels are printed as rectangles: what lies between their outline and their rectangle is waste. */
function filmFindings(seam: Seam, context: SideContext): Finding[] {
  if (!seam.path) return [];
  const { start, end } = pathRange(seam.path, seam.span);
  const rise = end - start;
  if (rise <= MOST_RISE_MM + LENGTH_TOLERANCE_MM) return [];
  const panels = [...seam.firstPanelIds, ...seam.secondPanelIds].flatMap(
    (id) => context.panels.get(id) ?? [],
  );
  const wasteMm2 = panels.reduce((sum, panel) => sum + panelWasteMm2(panel), 0);
  const { perM2 } = materialPrice(context.job, 'film');
  const { currency } = jobProductionSettings(context.job).figures;
  const money = `${decimalText((wasteMm2 / 1e6) * perM2, 2)} ${currency}`;
  return [
    finding(
      'seam-shape-film',
      'warn',
      { sideId: seam.sideId, seamId: seam.id },
      `${sentence(seamName(context, seam))} rises by ${context.length(rise)}, so its panels are printed with ${areaText(context.job, wasteMm2)} more film than they need: ${money} at the price of the film (an estimate).`,
      'Follow the line over a shorter length, straighten the seam, or accept the film.',
      rise,
    ),
  ];
}

/** Film that is printed of a panel beyond what it needs, in mm². */
export const panelWasteMm2 = ({ printed, shape }: Pick<Panel, 'printed' | 'shape'>): number =>
  shape ? Math.max(0, rectArea(printed) - polygonArea(shape.needed.points)) : 0;

/** Film lifts first at a corner. Common practice, no source. */
function cornerFindings(seam: Seam, context: SideContext): Finding[] {
  if (!seam.path) return [];
  const points = pathPart(seamPath(seam), seam.span);
  const sharp = points.slice(1, -1).filter((at, index) => {
    const [before, after] = [points[index]!, points[index + 2]!];
    const dot =
      (before.along - at.along) * (after.along - at.along) +
      (before.across - at.across) * (after.across - at.across);
    return dot > LENGTH_TOLERANCE_MM;
  });
  if (sharp.length === 0) return [];
  const places = sharp.map(({ along }) => context.length(along)).join(', ');
  const edge = seam.direction === 'horizontal' ? 'left' : 'top';
  return [
    finding(
      'seam-shape-sharp',
      'warn',
      { sideId: seam.sideId, seamId: seam.id },
      `${sentence(seamName(context, seam))} turns by more than 90° at ${places} from the ${edge}, where film lifts first.`,
      'Add points so that the line bends there instead of turning.',
      sharp.length,
    ),
  ];
}
