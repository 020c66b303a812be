/** The glass of a window: bare, or printed on perforated film. */
import { windowFilmSet, windowPrint } from '../../../core/job/edits/edits.ts';
import type { Job, NoFilmArea } from '../../../core/job/schema.ts';
import { present } from '../../../core/measure/present.ts';
import { LengthField } from '../../parts/length-field.tsx';
import { SelectField } from '../../parts/select-field.tsx';
import { editJob } from '../../state/open-job.ts';
import { filmOptions } from '../panel-film-select.tsx';

interface WindowFieldsProps {
  readonly job: Job;
  readonly sideId: string;
  readonly area: NoFilmArea;
}

export function WindowFields({ job, sideId, area }: WindowFieldsProps) {
  const { id: areaId, kind, windowFilm } = area;
  if (kind !== 'window') return null;
  const set = (change: Partial<NonNullable<NoFilmArea['windowFilm']>>): string | undefined =>
    editJob(
      'Change the film of the window',
      (now) =>
        windowFilmSet(now, {
          sideId,
          areaId,
          windowFilm: { ...present(windowFilm, 'The film of a window'), ...change },
        }),
      { isQuiet: true },
    )?.message;
  return (
    <>
      <label class="check">
        <input
          type="checkbox"
          checked={windowFilm !== undefined}
          onChange={({ currentTarget }) => {
            if (currentTarget.checked)
              editJob('Print the glass of the window', (now) => windowPrint(now, { sideId, areaId }));
            else
              editJob('Leave the glass of the window bare', (now) =>
                windowFilmSet(now, { sideId, areaId, windowFilm: null }),
              );
          }}
        />
        Print on perforated film
      </label>
      {windowFilm && (
        <>
          <SelectField
            label="Printed on film"
            value={windowFilm.filmId}
            options={filmOptions(job)}
            onChange={(filmId) => void set({ filmId })}
          />
          <div class="pair">
            <LengthField
              label="Ends off the seal by"
              mm={windowFilm.sealMm}
              unit={job.displayUnit}
              onChange={(sealMm) => set({ sealMm })}
            />
            <LengthField
              label="Bleed past that"
              mm={windowFilm.bleedMm}
              unit={job.displayUnit}
              onChange={(bleedMm) => set({ bleedMm })}
            />
          </div>
          <p class="quiet">
            The body film stops at the seal; the glass gets a panel of its own. Local law says which windows
            may carry film.
          </p>
        </>
      )}
    </>
  );
}
