import { type Finding, finding, withFigure } from '../../findings/finding.ts';
import { listText } from '../../measure/list-text.ts';
import type { PageCheck } from '../check-context.ts';
import type { MissingResource } from '../scan/schema.ts';

const KINDS: Readonly<Record<MissingResource['category'], string>> = {
  ExtGState: 'graphics state',
  ColorSpace: 'color space',
  Pattern: 'pattern',
  Shading: 'blend',
  XObject: 'picture or form',
  Font: 'font',
  Properties: 'layer',
};
const MAX_NAMES = 8;

/** Names that the content uses but the resources do not define; readers handle them differently. Keeps AC33. */
export function resourceFindings({ page }: PageCheck): Finding[] {
  const { missing, number } = page;
  if (missing.length === 0) return [];
  const shown = missing.slice(0, MAX_NAMES).map(({ category, name }) => `the ${KINDS[category]} “${name}”`);
  const rest = missing.length - shown.length;
  return [
    withFigure(
      missing.length,
      finding(
        'page-resources-missing',
        'warn',
        { page: number },
        `Page ${number} uses ${listText(rest > 0 ? [...shown, `${rest} more`] : shown)}, which the file does not hold: what depends on ${missing.length === 1 ? 'it' : 'them'} is missing or drawn in another way.`,
        'Compare the page with the customer proof, or ask for a new export.',
      ),
    ),
  ];
}
