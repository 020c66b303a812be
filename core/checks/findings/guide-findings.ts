import { type Finding, finding } from '../../findings/finding.ts';
import { isGuideInk, isGuideLayer } from '../../guide/guide-names.ts';
import { type PageCheck, placeOnPage } from '../check-context.ts';

const REMEDY =
  'Ask for artwork without the layers “Panel guide”, deleted rather than hidden, or leave that ink out in the RIP.';

/**
 * A panel guide that was left on in the artwork: found by its ink where that prints, else by the names of its layers.
 * Keeps GD4.
 */
export function guideFindings(checks: readonly PageCheck[]): Finding[] {
  const drawn = checks.flatMap((check) => {
    const spot = check.page.spots.find(({ name }) => isGuideInk(name));
    const where = spot && placeOnPage(check, spot);
    return spot && where?.sideId !== undefined ? [{ check, spot, where }] : [];
  });
  if (drawn.length > 0) {
    return drawn.map(({ check, spot, where }) =>
      finding(
        'guide-left-on',
        'warn',
        where,
        `Page ${check.page.number} still shows the panel guide: ${spot.objects === 1 ? 'one object' : `${spot.objects} objects`} in its ink “${spot.name}” would print.`,
        REMEDY,
      ),
    );
  }
  // A program may have converted the guide's ink to others.
  const left = checks[0]?.scan.document.layers.find(({ name, isOn }) => isOn && isGuideLayer(name));
  if (!left) return [];
  return [
    finding(
      'guide-left-on',
      'warn',
      {},
      `The layer “${left.name}” of the panel guide is still on in the artwork, and what it holds would print.`,
      REMEDY,
    ),
  ];
}
