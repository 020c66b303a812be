/** Outputs that were cut before a seam moved. */
import { z } from 'zod';
import { type Finding, finding, withFigure } from '../findings/finding.ts';
import type { Job } from '../job/schema.ts';
import { storedFromRect } from '../job/stored-rect.ts';
import { type Panel, panelOutline } from '../layout/panel.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import { listText } from '../measure/list-text.ts';
import { GoodArtwork } from './good-panels.ts';
import { ManifestPanel } from './manifest.ts';
import { isSameOutline } from './same-outline.ts';

/** Panels as an output cut them, each in the last output that has it: what was printed before is replaced. */
export const OutputPanels = z.strictObject({
  number: z.number().int().positive(),
  /** Its verification failed, so that none of its panels is released. */
  isRefused: z.literal(true).optional(),
  /** Hash of the artwork that it was cut from. */
  artworkSha256: z.string().optional(),
  /** Hashes of the artworks that this one was compared with, or one after the other. */
  comparedWith: z.array(z.string()).optional(),
  panels: z.array(
    ManifestPanel.pick({
      panelId: true,
      sideId: true,
      label: true,
      finishedBox: true,
      finishedOutline: true,
    }).extend({
      /** Artworks that it prints as it is. */
      goodFor: z.array(GoodArtwork).optional(),
    }),
  ),
});
export type OutputPanels = z.infer<typeof OutputPanels>;

/** LIN10 One finding for each output that has panels of another outline than the layout has now. Keeps LIN10. */
export function olderOutputFindings(
  layouts: readonly SideLayout[],
  outputs: readonly OutputPanels[],
): Finding[] {
  const now = new Map(layouts.flatMap(({ panels }) => panels.map((panel) => [panel.id, panel] as const)));
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

/** One finding for each output that was cut from another artwork and has panels that the present one is not known to print. */
export function olderArtworkFindings(
  job: Pick<Job, 'artwork' | 'sides'>,
  outputs: readonly OutputPanels[],
): Finding[] {
  const artworkSha256 = job.artwork?.sha256;
  return outputs.flatMap(({ number, panels, ...output }) => {
    if (artworkSha256 === undefined || output.artworkSha256 === undefined) return [];
    if (output.artworkSha256 === artworkSha256) return [];
    const changed = panels.filter((panel) => !isGoodForArtwork(job, panel));
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
 * CA7 Panels that an output has as they would be written now: of the same outline, from artwork that prints them alike.
 * Keeps CA9.
 */
export function panelsStillGood(
  job: Pick<Job, 'artwork' | 'sides'>,
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
      return last && isGoodForArtwork(job, last) && isOutlineOf(last, panel) ? [panel.id] : [];
    }),
  );
}

/** Whether the artwork of the job, with the side of the panel on the page that it is on, prints the panel as it was cut. */
export function isGoodForArtwork(
  { artwork, sides }: Pick<Job, 'artwork' | 'sides'>,
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
