/** Hatchings in pixels, used by groups whose units are pixels, so that they look the same at any zoom. */
import type { Svg } from '@svgdotjs/svg.js';

interface Hatching {
  readonly id: string;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly paths: readonly { readonly className: string; readonly d: string }[];
}

const slanted = (id: string, className: string): Hatching => ({
  id,
  widthPx: 8,
  heightPx: 8,
  paths: [{ className, d: 'M-2 2L2 -2M0 8L8 0M6 10L10 6' }],
});

const HATCHINGS: readonly Hatching[] = [
  slanted('hatch-hidden', 'hatch-line is-hidden'),
  slanted('hatch-no-seam', 'hatch-line is-no-seam'),
  {
    id: 'hatch-ground',
    widthPx: 10,
    heightPx: 10,
    paths: [{ className: 'hatch-line is-ground', d: 'M0 0L10 10M10 0L0 10' }],
  },
  // Films after the first, told apart in black and white too; see filmHatching.
  {
    id: 'hatch-film-1',
    widthPx: 14,
    heightPx: 14,
    paths: [{ className: 'hatch-line is-film', d: 'M0 14L14 0' }],
  },
  {
    id: 'hatch-film-2',
    widthPx: 14,
    heightPx: 14,
    paths: [{ className: 'hatch-line is-film', d: 'M0 0L14 14' }],
  },
  {
    id: 'hatch-film-3',
    widthPx: 12,
    heightPx: 12,
    paths: [{ className: 'hatch-line is-film', d: 'M0 6L12 6' }],
  },
  {
    id: 'hatch-film-4',
    widthPx: 12,
    heightPx: 12,
    paths: [{ className: 'hatch-line is-film', d: 'M6 0L6 12' }],
  },
  // Teeth have their base on the seam line and point toward the part on top.
  { id: 'teeth-first', widthPx: 6, heightPx: 12, paths: [{ className: 'tooth', d: 'M6 2L1 6L6 10z' }] },
  { id: 'teeth-first-far', widthPx: 6, heightPx: 8, paths: [{ className: 'tooth', d: 'M6 2L3 4L6 6z' }] },
  { id: 'teeth-second-far', widthPx: 6, heightPx: 8, paths: [{ className: 'tooth', d: 'M0 2L3 4L0 6z' }] },
  { id: 'teeth-second', widthPx: 6, heightPx: 12, paths: [{ className: 'tooth', d: 'M0 2L5 6L0 10z' }] },
];

const FILM_HATCHINGS = 4;

/** How panels on a film are hatched, by its place among the films of the job: the first is not. */
export const filmHatching = (index: number): string | undefined =>
  index === 0 ? undefined : `hatch-film-${((index - 1) % FILM_HATCHINGS) + 1}`;

export function addPatterns(svg: Svg): void {
  const defs = svg.defs();
  for (const { id, widthPx, heightPx, paths } of HATCHINGS) {
    const pattern = defs.element('pattern');
    pattern.attr({ id, width: widthPx, height: heightPx, patternUnits: 'userSpaceOnUse' });
    // Teeth on the first side begin at −7 px, so the grid begins there.
    pattern.attr({ x: id.startsWith('teeth-first') ? -7 : id.startsWith('teeth-second') ? 1 : 0 });
    for (const { className, d } of paths) pattern.element('path').attr({ class: className, d });
  }
}
