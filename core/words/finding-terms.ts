import type { TermId } from './glossary.ts';

/** Beginnings of the codes of findings, with the term that each is about; longer ones first. */
const TERMS: readonly (readonly [string, TermId])[] = [
  ['artwork-missing-under-bleed', 'bleed'],
  ['artwork-missing-under-overlap', 'overlap'],
  ['seam-through-difficult-ground', 'difficult-ground'],
  ['seam-near-no-film-area', 'no-film-area'],
  ['seam-crosses-no-film-area', 'no-film-area'],
  ['seam-near-', 'body-line'],
  ['seam-across-gap', 'body-line'],
  ['seam-leaves-gap', 'body-line'],
  ['seam-', 'no-seam-area'],
  ['lap-in-no-seam-area', 'no-seam-area'],
  ['lap-against-', 'install-order'],
  ['lap-', 'overlap'],
  ['no-film-area', 'no-film-area'],
  ['lettering-', 'no-seam-area'],
  ['bleed-', 'bleed'],
  ['door-', 'door'],
  ['edge-bare', 'bleed'],
  ['border-', 'border'],
  ['check-in-', 'check-in'],
  ['dry-', 'drying-time'],
  ['ink-', 'ink-coverage'],
  ['coverage-', 'ink-coverage'],
  ['image-', 'finished-size'],
  ['marking-covered', 'dot-reflective-tape'],
  ['pair-', 'laminate'],
  ['page-user-unit', 'reduction'],
  ['page-beyond-pdf-limit', 'reduction'],
  ['reduction-', 'reduction'],
  ['panel-too-', 'size-on-roll'],
  ['roll-', 'nesting'],
  ['margins-fill-roll', 'roll-width'],
  ['side-scale', 'scale'],
  ['side-proportion', 'scale'],
  ['spot', 'spot-ink'],
  ['overprint', 'overprint'],
];

/** The term that a finding is about; undefined where its sentence needs none. */
export const termOfFinding = (code: string): TermId | undefined =>
  TERMS.find(([beginning]) => code.startsWith(beginning))?.[1];
