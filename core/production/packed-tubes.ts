import { installDay } from '../job/install-days.ts';
import { isLaminated } from '../job/job-cost-card.ts';
import { jobFilms, jobOnFilm } from '../job/job-films.ts';
import type { Job } from '../job/schema.ts';
import type { Panel } from '../layout/panel.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import { rectArea } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';

/** Panels of one side that are wound on one core. */
export interface PackedTube {
  /** Counted over all sides of the job, from 1. */
  readonly number: number;
  readonly layout: SideLayout;
  /** From the outside inward: the first to be installed comes off first. */
  readonly outermostFirst: readonly Panel[];
  /** What the core must be longer than: panels are wound along their long way. */
  readonly widestMm: Mm;
  /** An estimate, without the tube. */
  readonly weightKg: number;
}

/** Estimates from memory: printed film with its liner, and a laminate. */
const FILM_KG_PER_M2 = 0.25;
const LAMINATE_KG_PER_M2 = 0.1;
/** At elbow height one of two people may lift this (HSE L23: 16 kg), tube included. */
export const MOST_TUBE_KG = 14;

/** The panels of each side on as few cores as one person can lift, the first to be installed on the first. Keeps TK18. */
export function packedTubes(job: Job, layouts: readonly SideLayout[]): PackedTube[] {
  const laminated = new Set(jobFilms(job).flatMap(({ id }) => (isLaminated(jobOnFilm(job, id)) ? id : [])));
  const kgPerM2 = (filmId: string) => FILM_KG_PER_M2 + (laminated.has(filmId) ? LAMINATE_KG_PER_M2 : 0);
  const weightOf = ({ film, filmId }: Panel) => (rectArea(film) / 1e6) * kgPerM2(filmId);
  const tubes: PackedTube[] = [];
  for (const layout of layouts) {
    let panels: Panel[] = [];
    const close = () => {
      if (panels.length === 0) return;
      tubes.push({
        number: tubes.length + 1,
        layout,
        outermostFirst: panels,
        widestMm: Math.max(...panels.map(({ film }) => Math.min(film.width, film.height))),
        weightKg: panels.reduce((sum, panel) => sum + weightOf(panel), 0),
      });
      panels = [];
    };
    for (const panel of layout.panels.toSorted(
      (a, b) => installDay(a) - installDay(b) || a.order - b.order,
    )) {
      const weight = panels.reduce((sum, each) => sum + weightOf(each), 0);
      const isOtherDay = panels.some((other) => installDay(other) !== installDay(panel));
      if (isOtherDay || (panels.length > 0 && weight + weightOf(panel) > MOST_TUBE_KG)) close();
      panels.push(panel);
    }
    close();
  }
  return tubes;
}
