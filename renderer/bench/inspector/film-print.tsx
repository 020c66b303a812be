/** Print requirements of the film: a white plate where it is not white, and whether it is seen through the film. */
import { filmBase } from '../../../core/job/film-base.ts';
import type { Film, Job } from '../../../core/job/schema.ts';
import { Section } from '../../parts/section.tsx';
import { SelectField } from '../../parts/select-field.tsx';
import { artworkFacts } from '../../state/open-job.ts';

const BASES = [
  { value: 'white', label: 'White' },
  { value: 'clear', label: 'Clear' },
  { value: 'colored', label: 'Colored' },
] as const;

const MIRRORS = [
  { value: 'none', label: 'Not mirrored' },
  { value: 'rip', label: 'Mirrored by the RIP' },
  { value: 'file', label: 'Mirrored in the panel files' },
] as const;

interface FilmPrintProps {
  /** The letter of the film, where there are several. */
  readonly of?: string | undefined;
  readonly job: Job;
  set(film: Film): string | undefined;
}

export function FilmPrint({ of, job, set }: FilmPrintProps) {
  const { film } = job;
  const isFromShelf = job.production?.film?.base !== undefined;
  return (
    <Section title="White and mirror" of={of}>
      {!isFromShelf && (
        <SelectField
          label="The film is"
          value={filmBase(job)}
          options={BASES}
          onChange={(value) => {
            const { base: _, ...rest } = film;
            void set(value === 'white' ? rest : { ...rest, base: value });
          }}
        />
      )}
      <SelectField
        label="White plate"
        value={film.whitePlate ?? ''}
        options={platesToSelect(film.whitePlate)}
        hint="The spot ink of the artwork that prints as white."
        onChange={(value) => {
          const { whitePlate: _, ...rest } = film;
          void set(value === '' ? rest : { ...rest, whitePlate: value });
        }}
      />
      <SelectField
        label="Mirrored print"
        value={film.mirror ?? 'none'}
        options={MIRRORS}
        hint="For a print that is seen through its film, as on the inside of glass. The ticket says it once."
        onChange={(value) => {
          const { mirror: _, ...rest } = film;
          void set(value === 'none' ? rest : { ...rest, mirror: value });
        }}
      />
    </Section>
  );
}

/** Spot inks of the artwork, and the one that is selected though the artwork lacks it. */
function platesToSelect(selected: string | undefined): { value: string; label: string }[] {
  const pages = artworkFacts.value?.scan?.pages ?? [];
  const names = new Set(pages.flatMap(({ spots }) => spots.map(({ name }) => name)));
  names.delete('All');
  const known = [...names].map((name) => ({ value: name, label: name }));
  const missing =
    selected === undefined || names.has(selected)
      ? []
      : [{ value: selected, label: `${selected}, not in the artwork` }];
  return [{ value: '', label: 'None' }, ...known, ...missing];
}
