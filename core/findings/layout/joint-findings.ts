/** Whether each joint holds, sheds water and wind, and hides its edge. */

import { hasSeveralFilms, type JobFilm, jobFilm, jobOnFilm } from '../../job/job-films.ts';
import { finishedOverlap } from '../../job/lap-figures.ts';
import type { Panel, Seam } from '../../layout/panel.ts';
import { shopTrims } from '../../layout/shop-trims.ts';
import { listText, sentence } from '../../measure/list-text.ts';
import { firstOf, valueAt } from '../../measure/present.ts';
import { LENGTH_TOLERANCE_MM } from '../../measure/units.ts';
import { FILM_KIND_NAMES } from '../../shop/shelf.ts';
import { type Finding, finding, withFigure } from '../finding.ts';
import { panelLabels, type SideContext, seamName } from './finding-context.ts';

export function jointFindings(context: SideContext): Finding[] {
  return [
    ...context.layout.seams.flatMap((seam) =>
      isMet(seam) && seam.joint === 'lap'
        ? [
            ...overlapFindings(seam, context),
            ...weatherFindings(seam, context),
            ...reachFindings(seam, context),
          ]
        : [],
    ),
    ...context.layout.seams.flatMap((seam) => (isMet(seam) ? filmKindFindings(seam, context) : [])),
    ...unequalFindings(context),
    ...trimFindings(context),
  ];
}

/** Whether film is printed on both sides of the seam; next to dropped panels there is nothing to join. */
const isMet = (seam: Seam): boolean => seam.firstPanelIds.length > 0 && seam.secondPanelIds.length > 0;

const placeOf = (seam: Seam) => ({ sideId: seam.sideId, seamId: seam.id });

/** Keeps OV1, OV2 and OV3. */
function overlapFindings(seam: Seam, context: SideContext): Finding[] {
  const { job, length } = context;
  const name = sentence(seamName(context, seam));
  if (seam.overlapMm <= LENGTH_TOLERANCE_MM) {
    return [
      finding(
        'lap-zero',
        'stop',
        placeOf(seam),
        `${name} is an overlap seam without any overlap.`,
        `Give it at least ${length(job.limits.minOverlapMm)}, or make it a butt seam.`,
      ),
    ];
  }
  if (seam.overlapMm < job.limits.minOverlapMm - LENGTH_TOLERANCE_MM) {
    return [
      withFigure(
        seam.overlapMm,
        finding(
          'lap-narrow',
          'warn',
          placeOf(seam),
          `${name} overlaps by ${length(seam.overlapMm)}, under the limit of ${length(job.limits.minOverlapMm)}.`,
          'Widen the overlap, or accept that film shrinkage may open the seam.',
        ),
      ),
    ];
  }
  if (finishedOverlap(seam) <= LENGTH_TOLERANCE_MM) {
    return [
      finding(
        'lap-nothing-under',
        'warn',
        placeOf(seam),
        `${name} overlaps by ${length(seam.overlapMm)}, but all of it is on the top part, so nothing stays underneath once it is trimmed on the seam line.`,
        `Let the part underneath extend past the seam by at least ${length(job.limits.minOverlapMm)}.`,
      ),
    ];
  }
  return [];
}

/** Films of different kinds shrink and conform differently. Common practice, no source. Keeps FM6. */
function filmKindFindings(seam: Seam, context: SideContext): Finding[] {
  const { job, panels } = context;
  if (!hasSeveralFilms(job)) return [];
  const filmOf = (id: string) => {
    const panel = panels.get(id);
    return panel ? [jobFilm(job, panel.filmId)] : [];
  };
  const films = [...seam.firstPanelIds, ...seam.secondPanelIds].flatMap(filmOf);
  const kindOf = ({ id, film }: JobFilm) => (jobOnFilm(job, id).production?.film ?? film).kind;
  const [first, ...others] = films;
  const other = first && others.find((film) => kindOf(film) !== kindOf(first));
  if (!other) return [];
  const told = [first, other]
    .toSorted((a, b) => (a.letter < b.letter ? -1 : 1))
    .map((film) => `film ${film.letter} is ${FILM_KIND_NAMES[kindOf(film)]}`);
  return [
    finding(
      'seam-between-films',
      'warn',
      placeOf(seam),
      `${sentence(seamName(context, seam))} joins films of different kinds: ${listText(told)}. They differ in shrinkage and thickness, so an edge may open or show.`,
      'Print the panels at this seam on one film, put the seam in a body gap, or accept the edge.',
    ),
  ];
}

/** Water runs down and wind blows to the rear, so the upper and the front part must be on top. Keeps LP1 and LP2. */
function weatherFindings(seam: Seam, context: SideContext): Finding[] {
  const name = sentence(seamName(context, seam));
  if (seam.direction === 'horizontal') {
    if (seam.top === 'first') return [];
    return [
      finding(
        'lap-against-water',
        'warn',
        placeOf(seam),
        `${name} has its lower part on top, so water runs into the overlap.`,
        'Put the upper part on top, or note why not.',
      ),
    ];
  }
  const { front } = context.side;
  if (front === 'none' || (seam.top === 'first') === (front === 'left')) return [];
  return [
    finding(
      'lap-against-wind',
      'warn',
      placeOf(seam),
      `${name} has its rear part on top, so the edge faces the wind.`,
      'Put the front part on top, or note why not.',
    ),
  ];
}

/**
 * A panel that extends past its seam across a whole neighbor also covers other panels; the seam does not set their
 * install order. Keeps OV4.
 */
function reachFindings(seam: Seam, context: SideContext): Finding[] {
  const size = (panel: Panel) => (seam.direction === 'vertical' ? panel.net.width : panel.net.height);
  const crossed = (ids: readonly string[], reachMm: number) =>
    ids.filter((id) => size(valueAt(context.panels, id)) < reachMm - LENGTH_TOLERANCE_MM);
  const ids = [...crossed(seam.secondPanelIds, seam.firstMm), ...crossed(seam.firstPanelIds, seam.secondMm)];
  if (ids.length === 0) return [];
  return [
    finding(
      'lap-past-neighbor',
      'warn',
      placeOf(seam),
      `The overlap at ${seamName(context, seam)} reaches past ${panelLabels(context, ids)}.`,
      'Reduce the overlap, or widen the panel beside the seam.',
    ),
  ];
}

/** Seams on one line should have equal overlaps, so that installers set the tape once. Keeps OV5. */
function unequalFindings(context: SideContext): Finding[] {
  const laps = context.layout.seams.filter((seam) => isMet(seam) && seam.joint === 'lap');
  const lines = Map.groupBy(
    laps,
    (seam) => `${seam.direction} ${Math.round(seam.at * 1000)} ${seam.path ? seam.id : ''}`,
  );
  return [...lines.values()].flatMap((line) => {
    const widths = [...new Set(line.map((seam) => context.length(seam.overlapMm)))];
    if (widths.length < 2) return [];
    return [
      finding(
        'lap-unequal-on-line',
        'note',
        placeOf(firstOf(line)),
        `Seams on one line, ${seamName(context, firstOf(line))}, overlap by ${listText(widths)}.`,
        'Give all seams on this line one overlap.',
      ),
    ];
  });
}

/** One note per seam and panel, so that a crew can check them off. */
function trimFindings(context: SideContext): Finding[] {
  return shopTrims(context.layout).flatMap(({ seamId, panelId, edge, label }) => {
    if (seamId === undefined) return [];
    return [
      finding(
        'shop-trim',
        'note',
        { sideId: context.side.id, panelId, seamId },
        `The ${edge} edge of panel ${label} is seen and has no image to spare, so its border is trimmed in the shop.`,
        'Give that edge some image to spare, to trim it on the vehicle instead.',
      ),
    ];
  });
}
