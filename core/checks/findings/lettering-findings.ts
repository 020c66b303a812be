import { type Finding, finding, withFigure } from '../../findings/finding.ts';
import { areaPrinted, distanceText, placeOnSide, placeText, type SideCheck } from '../check-context.ts';
import { CAP_HEIGHT_SHARE } from '../side-lettering.ts';

/**
 * Live text too small to read from the viewing distance. Rule: MUTCD 2009, 2A.13, an inch of letter height for every
 * 30 feet of legibility distance, from memory. Lettering turned to outlines is not found here.
 * Keeps AC14.
 */
export function letteringFindings(check: SideCheck): Finding[] {
  const { job, limits, distance, side, length } = check;
  const asked = distance / limits.distancePerCapHeight;
  const small = check.page.lettering.flatMap((line) => {
    const capHeight = line.sizeMm * job.scale * CAP_HEIGHT_SHARE;
    const area = areaPrinted(check, line.area);
    return capHeight < asked && area ? [{ line, capHeight, area }] : [];
  });
  const [smallest] = small;
  if (smallest === undefined) return [];
  const { line, capHeight, area } = smallest;
  const lines = small.length === 1 ? 'One line' : `${small.length} lines`;
  return [
    withFigure(
      capHeight,
      finding(
        'lettering-small',
        'note',
        placeOnSide(check, area),
        `${lines} of lettering on side ${side.code} can hardly be read from ${distanceText(job, distance)}, the smallest “${line.text}” with capitals about ${length(capHeight)} high where ${length(asked)} are asked for, beginning ${placeText(check, area)}.`,
        'Ask whether this lettering is to be read from there, and for a larger size if it is.',
      ),
    ),
  ];
}
