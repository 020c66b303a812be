/** Outputs written before a seam moved. */
import { z } from 'zod';
import { type Finding, finding, withFigure } from '../findings/finding.ts';
import type { Job } from '../job/schema.ts';
import { storedFromRect } from '../job/stored-rect.ts';
import { type Panel, panelOutline } from '../layout/panel.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import { listText } from '../measure/list-text.ts';
import { PAGE_BOXES } from '../measure/page-box.ts';
import { LENGTH_TOLERANCE_MM } from '../measure/units.ts';
import { GoodArtwork } from './good-panels.ts';
import { ManifestPanel } from './manifest.ts';
import { isSameOutline } from './same-outline.ts';

/** Panels as an output cut them, each in the last output that contains it: earlier prints are replaced. */
export const OutputPanels = z.strictObject({
  number: z.number().int().positive(),
  /** Its verification failed, so none of its panels is released. */
  isRefused: z.literal(true).optional(),
  /** Hash of the artwork that it was cut from. */
  artworkSha256: z.string().optional(),
  /** Hashes of the artworks that this one was compared with, directly or through a chain of comparisons. */
  comparedWith: z.array(z.string()).optional(),
  panels: z.array(
    ManifestPanel.pick({
      panelId: true,
      sideId: true,
      label: true,
      finishedBox: true,
      finishedOutline: true,
    }).extend({
      /** Position of its side on the page, from the corner of the page box, and its drawn size. */
      placed: z
        .strictObject({ box: z.enum(PAGE_BOXES), xMm: z.number(), yMm: z.number(), scale: z.number() })
        .optional(),
      /** Artworks that print this panel unchanged. */
      goodFor: z.array(GoodArtwork).optional(),
    }),
  ),
});
export type OutputPanels = z.infer<typeof OutputPanels>;

type CutFrom = Pick<Job, 'artwork' | 'sides' | 'scale'>;

/** LIN10 One finding for each output with panels whose outline differs from the present layout. Keeps LIN10. */
export function olderOutputFindings(
  layouts: readonly SideLayout[],
  outputs: readonly OutputPanels[],
): Finding[] {
  const now = panelsById(layouts);
  return outputs.flatMap(({ number, panels }) => {
    const changed = panels.filter((cut) => !isOutlineOf(cut, now.get(cut.panelId)));
    if (changed.length === 0) return [];
    const labels = listText(changed.map(({ label }) => label));
    return [
      withFigure(
        changed.length,
        finding(
          'output-of-older-layout',
          'note',
          {},
          `Output ${number} was cut before the panel layout changed: ${labels} ${changed.length === 1 ? 'is' : 'are'} of another outline now.`,
          'Write all panels again that meet at a seam that moved; panels of two layouts do not fit each other.',
        ),
      ),
    ];
  });
}

const panelsById = (layouts: readonly SideLayout[]): ReadonlyMap<string, Panel> =>
  new Map(layouts.flatMap(({ panels }) => panels.map((panel) => [panel.id, panel] as const)));

/**
 * One finding for each output from another artwork with panels that the present artwork is not known to print
 * unchanged.
 */
export function olderArtworkFindings(job: CutFrom, outputs: readonly OutputPanels[]): Finding[] {
  const artworkSha256 = job.artwork?.sha256;
  return outputs.flatMap(({ number, panels, ...output }) => {
    if (artworkSha256 === undefined || output.artworkSha256 === undefined) return [];
    if (output.artworkSha256 === artworkSha256) return [];
    const changed = panels.filter((panel) => isPlacedAsCut(job, panel) && !isGoodForArtwork(job, panel));
    if (changed.length === 0) return [];
    const labels = listText(changed.map(({ label }) => label));
    const isCompared = output.comparedWith?.includes(artworkSha256) ?? false;
    const [what, remedy] = isCompared
      ? [
          `${labels} ${changed.length === 1 ? 'has' : 'have'} changed since.`,
          `Write ${changed.length === 1 ? 'that panel' : 'those panels'} again; the others are still good.`,
        ]
      : [
          'nobody has compared the two.',
          'Compare the artworks to see which panels are still good, or write all panels again.',
        ];
    const text = `Output ${number} was cut from older artwork${isCompared ? ': ' : ', and '}${what}`;
    return [withFigure(changed.length, finding('output-of-older-artwork', 'note', {}, text, remedy))];
  });
}

/**
 * One finding for each output with panels whose side was moved on its page since, so that they show another part of it.
 */
export function movedSideFindings(
  job: CutFrom,
  layouts: readonly SideLayout[],
  outputs: readonly OutputPanels[],
): Finding[] {
  const now = panelsById(layouts);
  return outputs.flatMap(({ number, panels }) => {
    const moved = panels.filter((cut) => isOutlineOf(cut, now.get(cut.panelId)) && !isPlacedAsCut(job, cut));
    if (moved.length === 0) return [];
    const labels = listText(moved.map(({ label }) => label));
    const text = `Output ${number} was cut before a side was moved on its artwork page: ${labels} ${moved.length === 1 ? 'shows' : 'show'} another part of the artwork now.`;
    const remedy =
      'Move the side back where it was, or write those panels again with all that meet them at a seam.';
    return [withFigure(moved.length, finding('output-of-older-artwork', 'note', {}, text, remedy))];
  });
}

/** Whether the side of a panel is still where the panel was cut from, as far as that can be compared. */
export function isPlacedAsCut(
  { artwork, sides, scale }: CutFrom,
  { sideId, placed }: OutputPanels['panels'][number],
): boolean {
  const side = sides.find(({ id }) => id === sideId);
  // Positions relative to another page box cannot be compared.
  if (!side || !placed || placed.box !== artwork?.box) return true;
  const away = Math.hypot(side.artworkRect.xMm - placed.xMm, side.artworkRect.yMm - placed.yMm);
  return placed.scale === scale && away * scale <= LENGTH_TOLERANCE_MM;
}

/**
 * CA7 Panels of an output that would be written the same way now: same outline, same place in an artwork that prints
 * them unchanged. Keeps CA9.
 */
export function panelsStillGood(
  job: CutFrom,
  panels: readonly Panel[],
  outputs: readonly OutputPanels[],
): Set<string> {
  const cut = new Map(
    outputs
      .filter(({ isRefused }) => !isRefused)
      .flatMap((output) => output.panels.map((panel) => [panel.panelId, panel] as const)),
  );
  return new Set(
    panels.flatMap((panel) => {
      const last = cut.get(panel.id);
      const isGood =
        last && isOutlineOf(last, panel) && isPlacedAsCut(job, last) && isGoodForArtwork(job, last);
      return isGood ? [panel.id] : [];
    }),
  );
}

/** Whether the job's artwork, with the panel's side on its present page, prints the panel as it was cut. */
export function isGoodForArtwork(
  { artwork, sides }: CutFrom,
  { sideId, goodFor = [] }: OutputPanels['panels'][number],
): boolean {
  const page = sides.find(({ id }) => id === sideId)?.page;
  return goodFor.some((good) => good.sha256 === artwork?.sha256 && good.page === page);
}

export function isOutlineOf(
  cut: Pick<ManifestPanel, 'finishedBox' | 'finishedOutline'>,
  panel: Panel | undefined,
): boolean {
  if (!panel) return false;
  const points = panelOutline(panel);
  return isSameOutline(cut, {
    finishedBox: storedFromRect(panel.net),
    ...(points && { finishedOutline: points.map(({ x, y }) => ({ xMm: x, yMm: y })) }),
  });
}
