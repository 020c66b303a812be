/** The comparison of two artworks in words. */
import { type LengthFormat, lengthText } from '../measure/length-text.ts';
import type { ArtworkComparison, ComparedPanel } from './artwork-comparison.ts';

const PROOFS = { 'same-content': 'same content', 'same-picture': 'same picture' } as const;

/** `unchanged (same content)`, `changed, 3 % of it`. */
export function verdictText({ verdict, proof, changedShare }: ComparedPanel): string {
  if (verdict === 'changed') return `changed, ${shareText(changedShare)} of it`;
  const how = proof ? ` (${PROOFS[proof]})` : '';
  return verdict === 'outside' ? `only outside what prints${how}` : `unchanged${how}`;
}

export function shareText(share: number): string {
  const percent = 100 * share;
  if (percent < 1) return 'less than 1 %';
  return `${Math.round(percent)} %`;
}

/** `2 of 7 panels have changed.` */
export function comparisonSummary({ sides }: ArtworkComparison): string {
  const panels = sides.flatMap((side) => side.panels);
  const changed = panels.filter(({ verdict }) => verdict === 'changed').length;
  const all = panels.length === 1 ? '1 panel' : `${panels.length} panels`;
  if (changed === 0) return `None of ${all} has changed.`;
  return `${changed} of ${all} ${changed === 1 ? 'has' : 'have'} changed.`;
}

/** `at 1200 mm, 340 mm: 80 mm × 40 mm`, from the left and top of the side. */
export const placeText = (
  { xMm, yMm, widthMm, heightMm }: ComparedPanel['places'][number],
  unit: LengthFormat,
): string =>
  `${lengthText(widthMm, unit)} × ${lengthText(heightMm, unit)}, ${lengthText(xMm, unit)} from the left and ${lengthText(yMm, unit)} from the top of the side`;

/** Remarks on the file, then on each panel, then a summary. */
export const comparisonLines = (comparison: ArtworkComparison, unit: LengthFormat): string[] => [
  ...comparison.remarks,
  ...comparison.sides.flatMap(({ panels }) => panels.flatMap((panel) => comparedPanelLines(panel, unit))),
  comparisonSummary(comparison),
];

const MOST_PLACES = 3;

/** `LH-02: changed, 3 % of it`, with reason and places, largest first. */
export const comparedPanelLines = (panel: ComparedPanel, unit: LengthFormat): string[] => {
  const { label, reasons, places } = panel;
  const more = places.length - MOST_PLACES;
  return [
    `${label}: ${verdictText(panel)}`,
    ...reasons.map((reason) => `  ${reason}`),
    ...places.slice(0, MOST_PLACES).map((place) => `  ${placeText(place, unit)}`),
    ...(more > 0 ? [`  and ${more} more ${more === 1 ? 'place' : 'places'}`] : []),
  ];
};
