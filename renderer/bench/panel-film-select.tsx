import { panelsFilmSet } from '../../core/job/edits/edits.ts';
import { filmTitle, jobFilms } from '../../core/job/job-films.ts';
import type { Job } from '../../core/job/schema.ts';
import type { Panel } from '../../core/layout/panel.ts';
import { editJob, isReadOnly } from '../state/open-job.ts';

/** The films of a job, to select one. */
export const filmOptions = (job: Job): readonly { readonly value: string; readonly label: string }[] =>
  jobFilms(job).map(({ id }) => ({ value: id, label: filmTitle(job, id) }));

export function setPanelFilm({ id, sideId }: Panel, filmId: string): void {
  editJob('Print a panel on a film', (now) => panelsFilmSet(now, { sideId, panelIds: [id], filmId }));
}

/** In a row of panels. */
export const PanelFilmSelect = ({ job, panel }: { readonly job: Job; readonly panel: Panel }) => (
  <select
    class="input"
    aria-label={`Film of ${panel.label}`}
    value={panel.filmId}
    disabled={isReadOnly.value}
    onChange={(event) => setPanelFilm(panel, event.currentTarget.value)}
  >
    {filmOptions(job).map(({ value, label }) => (
      <option key={value} value={value}>
        {label}
      </option>
    ))}
  </select>
);
