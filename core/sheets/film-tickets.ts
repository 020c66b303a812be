/** The ticket of a job: of one with several films, pages for each, for each may be printed by another printer. */
import type { Finding } from '../findings/finding.ts';
import { filmTitle, hasSeveralFilms, jobOnFilm } from '../job/job-films.ts';
import type { Job } from '../job/schema.ts';
import { layoutsOnFilm } from '../layout/film-layouts.ts';
import type { Panel } from '../layout/panel.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import { EDGES } from '../measure/rect.ts';
import { filmRecord, printedTimes } from '../output/record-parts.ts';
import { filmProductions, type JobProduction, productionAsPrinted } from '../production/job-production.ts';
import type { Sheet } from './page-frame.ts';
import { ticket } from './ticket.ts';
import type { TicketOptions } from './ticket-blocks.ts';

export function filmTickets(
  job: Job,
  layouts: readonly SideLayout[],
  production: JobProduction,
  options: TicketOptions,
): readonly Sheet[] {
  if (!hasSeveralFilms(job)) return ticket(job, layouts, production, options);
  const { strip, ...common } = options;
  const { facts, record = {}, first = {} } = options.operator ?? {};
  const printed = productionAsPrinted(job, production, (filmId) => printedTimes(filmRecord(record, filmId)));
  return filmProductions(printed).flatMap((onFilm, index) => {
    const { filmId } = onFilm;
    const operator = { facts, record: filmRecord(record, filmId), first: filmRecord(first, filmId) };
    return ticket(jobOnFilm(job, filmId), layoutsOnFilm(job, layouts, filmId), onFilm, {
      ...common,
      findings: options.findings.filter((finding) => isOfFilm(finding, filmId, layouts)),
      ...(options.operator && { operator }),
      ...(strip?.panel.filmId === filmId && { strip }),
      film: {
        title: `Film ${filmTitle(job, filmId)}`,
        // Once is enough.
        together: index === 0 ? production.together : undefined,
      },
    });
  });
}

/** A finding about no film, panel, seam or side is on the ticket of every film. Keeps TK20. */
function isOfFilm({ where }: Finding, filmId: string, layouts: readonly SideLayout[]): boolean {
  const panel = layouts.flatMap(({ panels }) => panels).find(({ id }) => id === where.panelId);
  const about = panel?.filmId ?? where.filmId;
  if (about !== undefined) return about === filmId;
  const side = layouts.find((layout) => layout.side.id === where.sideId);
  if (!side) return true;
  const atSeam = side.panels.filter((each) => isAtSeam(each, where.seamId));
  const concerned = atSeam.length > 0 ? atSeam : side.panels;
  return concerned.length === 0 || concerned.some((each) => each.filmId === filmId);
}

const isAtSeam = ({ edges }: Panel, seamId: string | undefined): boolean =>
  EDGES.some((name) => {
    const edge = edges[name];
    return edge.kind === 'seam' && edge.seamId === seamId;
  });
