/** What the flat panels of the selected layout would save on a cheaper film of the job, with the act to take it. */
import { useMemo } from 'preact/hooks';
import type { Job } from '../../core/job/schema.ts';
import { cheaperFilmOf, cheaperFilmText } from '../../core/seams/cheaper-film.ts';
import type { PlanOffer } from '../../core/seams/plan-answer.ts';
import { Button } from '../parts/button.tsx';
import { moneyText } from '../parts/quantity-text.ts';
import { takePlanCheaper } from './plan-state.ts';

interface CheaperFilmProps {
  readonly job: Job;
  readonly sideId: string;
  readonly offer: PlanOffer;
  readonly currency: string;
}

export function CheaperFilm({ job, sideId, offer, currency }: CheaperFilmProps) {
  const found = useMemo(() => cheaperFilmOf(job, sideId, offer), [job, sideId, offer]);
  if (!found) return null;
  return (
    <section aria-labelledby="cheaper-film-title">
      <h3 id="cheaper-film-title">A cheaper film for flat panels</h3>
      <p>{cheaperFilmText(job, found, (amount) => moneyText(amount, currency))}</p>
      <Button onClick={() => takePlanCheaper(offer)}>Use this layout with them on that film</Button>
    </section>
  );
}
