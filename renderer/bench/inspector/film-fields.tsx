/** The films of a job: each with its laminate and its printer. */
import { useState } from 'preact/hooks';
import { filmAdd, filmRemove, filmSet } from '../../../core/job/edits/edits.ts';
import { FIRST_FILM_ID, hasSeveralFilms, jobFilm, jobFilms, jobOnFilm } from '../../../core/job/job-films.ts';
import type { Film, Job, Printer } from '../../../core/job/schema.ts';
import { foundIn } from '../../../core/measure/present.ts';
import { Button } from '../../parts/button.tsx';
import { Dialog } from '../../parts/dialog.tsx';
import { TextField } from '../../parts/field.tsx';
import { LengthField } from '../../parts/length-field.tsx';
import { NumberField } from '../../parts/number-field.tsx';
import { Section } from '../../parts/section.tsx';
import { SelectField } from '../../parts/select-field.tsx';
import { editJob, layouts } from '../../state/open-job.ts';
import { filmOptions } from '../panel-film-select.tsx';
import { FilmPrint } from './film-print.tsx';
import type { JobFieldsProps, SetJob } from './job-fields.ts';
import { RequiredText } from './required-text.tsx';

export function FilmFields({ job }: { readonly job: Job }) {
  const [wanted, setWanted] = useState(FIRST_FILM_ID);
  const [isAsking, setAsking] = useState(false);
  const { id: filmId, letter } = jobFilm(job, wanted);
  const onFilm = jobOnFilm(job, filmId);
  const set: SetJob = (label, { film, laminate, printer }) =>
    editJob(
      label,
      (now) =>
        filmSet(now, {
          filmId,
          change: {
            ...(film && { film }),
            ...(laminate !== undefined && { laminate }),
            ...(printer && { printer }),
          },
        }),
      { isQuiet: true },
    )?.message;
  const add = () => {
    const before = new Set(jobFilms(job).map(({ id }) => id));
    editJob('Add a film', (now) => {
      const added = filmAdd(now);
      if (added.ok) setWanted(foundIn(jobFilms(added.value), ({ id }) => !before.has(id)).id);
      return added;
    });
  };
  const remove = () => {
    setAsking(false);
    setWanted(FIRST_FILM_ID);
    editJob('Remove a film', (now) => filmRemove(now, { filmId }));
  };
  const of = hasSeveralFilms(job) ? letter : undefined;
  const panelCount = layouts.value.flatMap(({ panels }) =>
    panels.filter((panel) => panel.filmId === filmId),
  ).length;
  return (
    <>
      <Section title="Films">
        {hasSeveralFilms(job) ? (
          <SelectField
            label="The fields below are of film"
            value={filmId}
            options={filmOptions(job)}
            onChange={setWanted}
          />
        ) : (
          <p class="quiet">
            All panels are printed on one film. Add another, and sides and panels can be printed on it.
          </p>
        )}
        <div class="buttons">
          <Button onClick={add}>Add a film</Button>
          {filmId !== FIRST_FILM_ID && (
            <Button onClick={() => (panelCount > 0 ? setAsking(true) : remove())}>
              Remove film {letter}
            </Button>
          )}
        </div>
      </Section>
      {isAsking && (
        <Dialog title={`Remove film ${letter}?`} onClose={() => setAsking(false)}>
          <p>
            {panelCount === 1 ? '1 panel is' : `${panelCount} panels are`} printed on it. Without it,{' '}
            {panelCount === 1 ? 'the panel goes' : 'the panels go'} to film A, {job.film.name}.
          </p>
          <div class="dialog-actions">
            <Button isSafe onClick={() => setAsking(false)}>
              Cancel
            </Button>
            <Button isPrimary onClick={remove}>
              Remove film {letter}
            </Button>
          </div>
        </Dialog>
      )}
      <FilmSection
        title="Film"
        of={of}
        film={onFilm.film}
        glass={PERFORATED}
        set={(film) => set('Change the film', { film })}
      />
      <FilmPrint of={of} job={onFilm} set={(film) => set('Change the film', { film })} />
      <Laminate of={of} job={onFilm} set={set} />
      <PrinterSection of={of} job={onFilm} set={set} />
    </>
  );
}

export const PERFORATED = { key: 'perforated', label: 'Perforated, for glass' } as const;
const CLEAR = { key: 'opticallyClear', label: 'Optically clear, for glass' } as const;

const FILM_KINDS = [
  { value: 'cast', label: 'Cast' },
  { value: 'calendered-polymeric', label: 'Calendered, polymeric' },
  { value: 'calendered-monomeric', label: 'Calendered, monomeric' },
] as const;

/** The letter of the film in these fields, where there are several. */
interface OfFilm {
  readonly of?: string | undefined;
}

type Material = Pick<Film, 'name' | 'kind' | 'finish' | 'lotNumber'>;

interface FilmSectionProps<T extends Material> extends OfFilm {
  readonly title: string;
  readonly film: T;
  /** Requirements of film on glass. */
  readonly glass: { readonly key: keyof T & ('perforated' | 'opticallyClear'); readonly label: string };
  set(film: T): string | undefined;
  onRemove?(): void;
}

export function FilmSection<T extends Material>({
  title,
  of,
  film,
  glass,
  set,
  onRemove,
}: FilmSectionProps<T>) {
  return (
    <Section title={title} of={of}>
      <RequiredText
        label={`Name of the ${title.toLowerCase()}`}
        value={film.name}
        set={(name) => set({ ...film, name })}
      />
      <SelectField
        label="Kind"
        value={film.kind}
        options={FILM_KINDS}
        onChange={(kind) => void set({ ...film, kind })}
      />
      <div class="pair">
        <TextField label="Finish" value={film.finish} onChange={(finish) => void set({ ...film, finish })} />
        <TextField
          label="Lot number"
          value={film.lotNumber}
          onChange={(lotNumber) => void set({ ...film, lotNumber })}
        />
      </div>
      <label class="check">
        <input
          type="checkbox"
          checked={film[glass.key] === true}
          onChange={({ currentTarget }) => {
            const { [glass.key]: _, ...rest } = film;
            void set((currentTarget.checked ? { ...rest, [glass.key]: true } : rest) as T);
          }}
        />
        {glass.label}
      </label>
      {onRemove && <Button onClick={onRemove}>Go without laminate</Button>}
    </Section>
  );
}

const NEW_LAMINATE: Material = { name: 'Cast laminate', kind: 'cast', finish: '', lotNumber: '' };

export function Laminate({ of, job, set }: JobFieldsProps & OfFilm) {
  if (!job.laminate) {
    return (
      <Section title="Laminate" of={of}>
        <p class="quiet">Printed film is installed without a laminate.</p>
        <Button onClick={() => void set('Add a laminate', { laminate: NEW_LAMINATE })}>Add a laminate</Button>
      </Section>
    );
  }
  return (
    <FilmSection
      title="Laminate"
      of={of}
      film={job.laminate}
      glass={CLEAR}
      set={(laminate) => set('Change the laminate', { laminate })}
      onRemove={() => void set('Go without laminate', { laminate: null })}
    />
  );
}

function PrinterSection({ of, job, set }: JobFieldsProps & OfFilm) {
  const { printer } = job;
  const change = (part: Partial<Printer>) => set('Change the printer', { printer: { ...printer, ...part } });
  return (
    <Section title="Printer and roll" of={of}>
      <RequiredText label="Printer" value={printer.name} set={(name) => change({ name })} />
      <LengthField
        label="Width of the roll"
        mm={printer.rollWidthMm}
        unit={job.displayUnit}
        hint="The true width: a 54 in roll is 1371.6 mm."
        onChange={(rollWidthMm) => change({ rollWidthMm })}
      />
      <PrinterFigures printer={printer} unit={job.displayUnit} change={change} />
    </Section>
  );
}

type PrinterFigures = Omit<Printer, 'name' | 'rollWidthMm'>;

interface PrinterFiguresProps {
  readonly printer: PrinterFigures;
  readonly unit: Job['displayUnit'];
  /** Whether the longest print is set elsewhere. */
  readonly isLongestElsewhere?: boolean;
  change(part: Partial<PrinterFigures>): string | undefined;
}

/** Printer settings other than the roll width, for a job and for the shop. */
export function PrinterFigures({ printer, unit, isLongestElsewhere, change }: PrinterFiguresProps) {
  const length = (
    label: string,
    key: 'marginLeftMm' | 'marginRightMm' | 'rollLengthMm' | 'longestPrintMm',
  ) => (
    <LengthField
      label={label}
      mm={printer[key]}
      unit={unit}
      isRun={key === 'rollLengthMm' || key === 'longestPrintMm'}
      onChange={(mm) => change({ [key]: mm })}
    />
  );
  return (
    <>
      <div class="pair">
        {length('Margin left', 'marginLeftMm')}
        {length('Margin right', 'marginRightMm')}
      </div>
      <div class="pair">
        {length('Length of the roll', 'rollLengthMm')}
        {!isLongestElsewhere && length('Longest print', 'longestPrintMm')}
      </div>
      <NumberField
        label="Length error of the feed, in %"
        value={printer.feedErrorPercent}
        hint="+0.2 where a print comes out 0.2 % long."
        onChange={(feedErrorPercent) => change({ feedErrorPercent })}
      />
    </>
  );
}
