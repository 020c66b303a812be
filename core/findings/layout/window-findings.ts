/** Windows with printed glass: what the law may say, and whether film, glass and seal go together. */
import { jobFilm } from '../../job/job-films.ts';
import { rectFromStored } from '../../job/stored-rect.ts';
import { isPerforated, LEAST_SEAL_MM } from '../../job/window-film.ts';
import { bodyPanels } from '../../layout/panel.ts';
import { panelFit, printerPrintWidth } from '../../layout/panel-fit.ts';
import { LENGTH_TOLERANCE_MM } from '../../measure/units.ts';
import { type Finding, finding, withFigure } from '../finding.ts';
import type { SideContext } from './finding-context.ts';

export function windowFindings(context: SideContext): Finding[] {
  return [...glassFindings(context), ...perforatedOnBodyFindings(context)];
}

/** Keeps GLS2. */
function glassFindings(context: SideContext): Finding[] {
  const { job, side, layout, length } = context;
  return side.noFilmAreas.flatMap((area): Finding[] => {
    const { windowFilm, name } = area;
    if (!windowFilm) return [];
    const where = {
      sideId: side.id,
      itemId: area.id,
      area: rectFromStored<'finished'>(area.rect),
      filmId: windowFilm.filmId,
    };
    const panel = layout.panels.find(({ glass }) => glass?.areaId === area.id);
    const film = jobFilm(job, windowFilm.filmId);
    const found: Finding[] = [
      finding(
        'window-law',
        'warn',
        where,
        `The glass “${name}” of side ${side.code} is to be printed: local law says which windows may carry film and how much light they must let through (United States: FMVSS 205, 49 CFR 393.60).`,
        'Find out by local law whether the driver looks through it, and acknowledge with the answer; else leave it bare.',
      ),
    ];
    if (!panel) {
      return [
        ...found,
        finding(
          'window-too-small',
          'stop',
          where,
          `Held ${length(windowFilm.sealMm)} off its seal, no film is left for the glass “${name}” of side ${side.code}.`,
          'Correct the outline of the window, hold the film less far off the seal, or leave the glass bare.',
        ),
      ];
    }
    if (windowFilm.sealMm < LEAST_SEAL_MM - LENGTH_TOLERANCE_MM) {
      found.push(
        withFigure(
          windowFilm.sealMm,
          finding(
            'window-near-seal',
            'warn',
            where,
            `Film on the glass “${name}” of side ${side.code} ends ${length(windowFilm.sealMm)} off the seal: on rubber it lifts and lets water in.`,
            `Hold it ${length(LEAST_SEAL_MM)} to ${length(2 * LEAST_SEAL_MM)} off the seal.`,
          ),
        ),
      );
    }
    if (!isPerforated(job, film)) {
      found.push(
        finding(
          'window-film-solid',
          'warn',
          where,
          `The glass “${name}” of side ${side.code} is printed on ${film.film.name}, which is not perforated: nobody sees through it.`,
          'Select a perforated film for the glass, or say at the film of the job that it is perforated.',
        ),
      );
    }
    const fit = panelFit(panel.film, film.printer);
    if (printerPrintWidth(film.printer) > LENGTH_TOLERANCE_MM && fit.isTooWide) {
      found.push(
        finding(
          'window-too-wide',
          'stop',
          { ...where, panelId: panel.id },
          `The glass “${name}” of side ${side.code} needs ${length(fit.acrossMm)} of film across the roll, ${length(-fit.widthLeftMm)} more than the printable width of ${length(printerPrintWidth(film.printer))}; glass has no seam.`,
          'Select a wider roll of perforated film, print less bleed past the glass, or leave the glass bare.',
        ),
      );
    }
    return found;
  });
}

/** Light, dirt and the color of the body show through the holes. */
const perforatedOnBodyFindings = ({ job, side, layout }: SideContext): Finding[] =>
  bodyPanels(layout.panels)
    .filter((panel) => isPerforated(job, jobFilm(job, panel.filmId)))
    .map((panel) =>
      finding(
        'perforated-on-body',
        'warn',
        { sideId: side.id, panelId: panel.id },
        `Panel ${panel.label} lies on the body but is printed on perforated film: the body shows through its holes.`,
        'Give the panel a film without holes.',
      ),
    );
