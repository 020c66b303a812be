/** What main knows of the film in hand: asked for again when that changes, and when somebody wants to look again. */
import { useEffect, useState } from 'preact/hooks';
import type { Job } from '../../core/job/schema.ts';
import type { Result } from '../../core/measure/result.ts';
import { showProblem } from '../state/notices.ts';
import { job as openJob } from '../state/open-job.ts';
import type { workSlot } from '../state/work.ts';
import { filmInHandId } from './production-state.ts';

type Slot = ReturnType<typeof workSlot>;

/** `job`: as if it had the film in hand alone. */
export function useFilmAnswer<T>(
  slot: Slot,
  job: Job,
  ask: (request: { readonly job: Job; readonly filmId: string }) => Promise<Result<T>>,
) {
  const [answer, setAnswer] = useState<T>();
  const whole = openJob.value ?? job;
  const filmId = filmInHandId(whole);
  const find = async () => {
    const found = await ask({ job: whole, filmId });
    if (found.ok) setAnswer(found.value);
    else showProblem(found.problem);
  };
  useEffect(() => {
    void find();
    return slot.cancel;
  }, [job.id, filmId]);
  return { answer, find, progress: slot.progressOf(job.id) };
}
