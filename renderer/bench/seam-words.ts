/** What the operator needs to know about a seam while it moves: its position, and the panels on both sides. */

import { hasSeveralFilms, jobFilm, panelPrinter } from '../../core/job/job-films.ts';
import type { Job } from '../../core/job/schema.ts';
import type { SnapTarget } from '../../core/job/seam-snap.ts';
import type { Panel, Seam } from '../../core/layout/panel.ts';
import { panelFit } from '../../core/layout/panel-fit.ts';
import { seamDatums } from '../../core/layout/seam-datums.ts';
import type { SideLayout } from '../../core/layout/side-layout.ts';
import { lengthText } from '../../core/measure/length-text.ts';
import { filmLengthText } from '../../core/measure/long-length.ts';
import { rectHorizontal, rectVertical } from '../../core/measure/rect.ts';
import type { Mm } from '../../core/measure/units.ts';

/** Of one seam. */
export const JOINT_WORDS = { lap: 'overlap seam', butt: 'butt seam', gap: 'body-gap seam' } as const;

/** The job of the panels, for their printer and the unit of lengths. */
export type WordsFor = Pick<Job, 'film' | 'laminate' | 'printer' | 'otherFilms' | 'displayUnit'>;

/** `LH-02  1320 × 2370 mm, 44 mm of film width left` */
export function panelWords(panel: Panel, job: WordsFor): string {
  const film = hasSeveralFilms(job) ? `, film ${jobFilm(job, panel.filmId).letter}` : '';
  return `${panel.label}  ${sizeText(panel.net, job.displayUnit)}, ${filmLeftText(panel, job)}${film}`;
}

export function filmLeftText(panel: Panel, job: WordsFor): string {
  const { displayUnit: unit } = job;
  const fit = panelFit(panel.film, panelPrinter(job, panel));
  if (fit.isTooWide) return `film ${lengthText(-fit.widthLeftMm, unit)} too wide`;
  if (fit.isTooLong) return `film ${filmLengthText(-fit.lengthLeftMm, unit)} too long`;
  return `${lengthText(fit.widthLeftMm, unit)} of film width left`;
}

export const sizeText = (size: { readonly width: Mm; readonly height: Mm }, unit: 'mm' | 'in'): string =>
  `${lengthText(size.width, unit).replace(/\s\D+$/, '')} × ${lengthText(size.height, unit)}`;

/** `alongMm` is a place on the seam: the panels there are named. */
export function seamWords(layout: SideLayout, seam: Seam, alongMm: Mm, job: WordsFor): readonly string[] {
  const datums = seamDatums(layout, seam, job.displayUnit);
  const panels = [seam.firstPanelIds, seam.secondPanelIds].flatMap(
    (ids) => panelBeside(layout, ids, seam, alongMm) ?? [],
  );
  return [
    datums.near.text,
    ...(datums.fromLine ? [datums.fromLine.text] : []),
    ...panels.map((panel) => panelWords(panel, job)),
  ];
}

function panelBeside(layout: SideLayout, ids: readonly string[], seam: Seam, alongMm: Mm): Panel | undefined {
  const stretch = (panel: Panel) =>
    seam.direction === 'vertical' ? rectVertical(panel.net) : rectHorizontal(panel.net);
  const away = (panel: Panel) => {
    const { start, end } = stretch(panel);
    return Math.max(start - alongMm, 0, alongMm - end);
  };
  return layout.panels.filter(({ id }) => ids.includes(id)).toSorted((a, b) => away(a) - away(b))[0];
}

/** What a seam or a point was drawn to; nothing where it was free. */
export function snapWords(target: SnapTarget, unit: 'mm' | 'in'): string | undefined {
  switch (target.kind) {
    case 'body-line':
      return `On the body line “${target.name}”`;
    case 'equal-division':
      return target.of === 2 ? 'In the middle' : `Part ${target.nth} of ${target.of} equal parts`;
    case 'whole-unit':
      return `On a whole ${lengthText(target.stepMm, unit)}`;
    case 'roll-filled':
      return 'Film fills the roll';
    case 'word-space':
      return 'In the space between two words';
    case 'picture-edge':
      return 'At the edge of a picture';
    case 'beside-rivets':
      return `Clear of the rivet row “${target.name}”`;
    case 'guide':
      return 'On a guide line';
    case 'side-edge':
      return 'At the edge of the side';
    case 'seam':
      return 'On a seam';
    case 'area-edge':
      return `At the edge of “${target.name}”`;
    case 'none':
      return undefined;
  }
}
